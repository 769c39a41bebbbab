"""The claim dossier as a PDF: letter, summary, answers, photos, workings, counts, records."""
