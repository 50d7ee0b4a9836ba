"""The job: model, checking, versions, canonical form. Pure: no I/O, no clock."""
