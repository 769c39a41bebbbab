"""In and out: claim files, spreadsheets, tables in PDFs, invoices, bundles, calendars."""
