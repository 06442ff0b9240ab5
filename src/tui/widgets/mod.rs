//! Pictures of maps and plans: data and a theme in, styled cells out; nothing is kept or changed.
