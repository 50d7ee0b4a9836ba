"""The colour laboratory: spectra, finishes, lamps, coverage. Knows nothing of meshes or viewer."""
