//! Structs that are written from another: one line a field.

/// Makes a struct and how it is made from another: beside each field stands its value.
macro_rules! formed {
    ($(#[$meta:meta])* $vis:vis struct $name:ident from $of:ident: $source:ty { $($(#[$about:meta])* $seen:vis $field:ident: $kind:ty = $value:expr,)+ }) => {
        $(#[$meta])*
        $vis struct $name {
            $($(#[$about])* $seen $field: $kind),+
        }

        impl From<$source> for $name {
            fn from($of: $source) -> Self {
                Self { $($field: $value),+ }
            }
        }
    };
}
pub(crate) use formed;
