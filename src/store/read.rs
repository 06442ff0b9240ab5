//! Reads files, and nothing but files, up to a limit: no device, no pipe, no folder, nothing without end.

use std::{
    fs::File,
    io::{self, Read},
    path::Path,
};

/// Opens an ordinary file; a pipe or device is told from it without waiting for whoever is at its other end.
fn open(path: &Path) -> io::Result<File> {
    let mut options = File::options();
    options.read(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::custom_flags(
        &mut options,
        // Bits of the system's own; a file is read the same with it.
        rustix::fs::OFlags::NONBLOCK.bits().cast_signed(),
    );
    let file = options.open(path)?;
    let kind = file.metadata()?.file_type();
    if kind.is_file() {
        return Ok(file);
    }
    Err(io::Error::new(
        io::ErrorKind::InvalidInput,
        if kind.is_dir() {
            "it is a folder, not a file"
        } else {
            "it is a pipe or a device, not a file"
        },
    ))
}

/// Reads an ordinary file of at most `most` bytes.
///
/// # Errors
/// The system's; `InvalidInput` for what is no file, `FileTooLarge` for a larger one.
pub(super) fn bytes(path: &Path, most: u64) -> io::Result<Vec<u8>> {
    let file = open(path)?;
    let size = file.metadata()?.len();
    let mut bytes = Vec::with_capacity(usize::try_from(size.min(most)).unwrap_or_default());
    // The size is checked on what is read: a file can grow.
    file.take(most + 1).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let limit = if most >= 1 << 20 {
            format!("{} MiB", most >> 20)
        } else {
            format!("{} KiB", most >> 10)
        };
        return Err(io::Error::new(
            io::ErrorKind::FileTooLarge,
            format!("it is larger than {limit}"),
        ));
    }
    Ok(bytes)
}

/// Reads a text file of at most `most` bytes.
///
/// # Errors
/// As [`bytes`], and `InvalidData` for what is not UTF-8.
pub(super) fn text(path: &Path, most: u64) -> io::Result<String> {
    // After the size: a letter cut in two at the limit is no fault of the file.
    String::from_utf8(bytes(path, most)?)
        .map_err(|_bytes| io::Error::new(io::ErrorKind::InvalidData, "it is not UTF-8 text"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_files_are_read_and_only_up_to_the_limit() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a");
        io::Write::write_all(&mut File::create(&path).unwrap(), b"abcd").unwrap();
        assert_eq!(bytes(&path, 4).unwrap(), b"abcd");
        let kind = |path: &Path, most| bytes(path, most).unwrap_err().kind();
        assert_eq!(kind(&path, 3), io::ErrorKind::FileTooLarge);
        assert_eq!(kind(dir.path(), 9), io::ErrorKind::InvalidInput);
        assert_eq!(kind(&dir.path().join("b"), 9), io::ErrorKind::NotFound);
    }

    #[cfg(unix)]
    #[test]
    fn a_pipe_and_a_device_are_refused_at_once() {
        let dir = tempfile::tempdir().unwrap();
        let pipe = dir.path().join("pipe");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status();
        assert!(made.unwrap().success());
        for path in [&pipe, Path::new("/dev/zero")] {
            let error = text(path, 9).unwrap_err();
            assert_eq!(error.kind(), io::ErrorKind::InvalidInput, "{error}");
            assert!(error.to_string().contains("a pipe or a device"), "{error}");
        }
    }
}
