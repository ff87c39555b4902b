"""Many designs at once: fields varied over ranges and lists, each design judged, all ranked."""
