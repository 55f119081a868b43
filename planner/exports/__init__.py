"""What other programs read: MusicXML, MIDI, a click as WAV, iCalendar, CSV."""
