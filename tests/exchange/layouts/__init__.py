"""Invoices and kit lists drawn by lot: what they say is known before they are written."""
