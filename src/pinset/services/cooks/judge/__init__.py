"""After a cook: its log judged, the verdict kept, and what follows for its lots."""
