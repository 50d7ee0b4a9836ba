"""Light: geometry and lamps in, finish-free layers out. numpy only; no GL, no colour names, no finishes."""
