"""The window: Qt alone lives here; everything a person does goes through casework."""
