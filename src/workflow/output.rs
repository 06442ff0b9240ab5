//! Results that go where the user said; see [`crate::store`] for what they may be written over.

pub use crate::store::{
    Existing, OutputRule, StoreError, check_output, write_output, write_own as write_picture,
};
