"""The wall as geometry: set-out, timber, solids, light and stills. Knows nothing of finishes or viewer."""
