use super::*;

#[test]
fn nothing_is_no_picture() {
    assert_eq!(open(&[], &Limits::default()), Err(PhotoError::Empty));
}
