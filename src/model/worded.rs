//! Enums whose variants carry words: one line a variant.

/// Makes an enum with `ALL` and a method for each column of words; a column called `key` can be read back.
macro_rules! worded {
    (@columns $vis:vis [] { $($rest:tt)* }) => {};
    (@columns $vis:vis [key $(, $columns:ident)*] { $($variant:ident [$word:literal $(, $words:literal)*])+ }) => {
        /// Returns the word commands and files use.
        $vis const fn key(self) -> &'static str {
            match self { $(Self::$variant => $word),+ }
        }

        /// Reads the word commands and files use.
        $vis fn from_key(key: &str) -> Option<Self> {
            Self::ALL.into_iter().find(|one| one.key() == key)
        }

        $crate::model::worded::worded!(@columns $vis [$($columns),*] { $($variant [$($words),*])+ });
    };
    (@columns $vis:vis [$column:ident $(, $columns:ident)*] { $($variant:ident [$word:literal $(, $words:literal)*])+ }) => {
        #[doc = concat!("Returns its ", stringify!($column), ".")]
        $vis const fn $column(self) -> &'static str {
            match self { $(Self::$variant => $word),+ }
        }

        $crate::model::worded::worded!(@columns $vis [$($columns),*] { $($variant [$($words),*])+ });
    };
    ($(#[$meta:meta])* $vis:vis enum $name:ident [$($column:ident),+] { $($(#[$about:meta])* $variant:ident: $($word:literal),+;)+ }) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        $vis enum $name {
            $($(#[$about])* $variant),+
        }

        impl $name {
            /// Every one, in the order forms and help offer them.
            $vis const ALL: [Self; [$($name::$variant),+].len()] = [$($name::$variant),+];

            $crate::model::worded::worded!(@columns $vis [$($column),+] { $($variant [$($word),+])+ });
        }
    };
}
pub(crate) use worded;
