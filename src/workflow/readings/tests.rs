//! Readings from the first to the advice, in a kitchen of its own.
