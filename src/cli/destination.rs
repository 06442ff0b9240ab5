//! Where a result goes that a verb writes into a file: every `--out` and `--png`.

use super::{
    session::Session,
    trouble::{OrTrouble, Trouble},
};
use crate::workflow::output::{Existing, OutputRule, StoreError, check_output, write_output};
use std::path::{Path, PathBuf};

/// A place for a result, looked at before the result is worked out.
#[derive(Debug)]
pub(super) struct Destination {
    /// The option that named it.
    option: &'static str,
    path: PathBuf,
    rule: OutputRule,
}

impl Destination {
    /// Tells whether the result goes to standard output.
    pub(super) fn is_standard(&self) -> bool {
        self.path == Path::new("-")
    }

    /// Returns the path as it was named.
    pub(super) fn path(&self) -> &Path {
        &self.path
    }
}

impl Session<'_> {
    /// Looks at where a result is to go: `-` is standard output, and a file that is there already stays
    /// unless `force` says otherwise, or the user when asked on the terminal.
    ///
    /// # Errors
    /// What stands against writing there.
    pub(super) fn destination(
        &mut self,
        option: &'static str,
        path: &Path,
        force: bool,
    ) -> Result<Destination, Trouble> {
        let existing = if force {
            Existing::Replace
        } else {
            Existing::Keep
        };
        let mut destination = Destination {
            option,
            path: path.to_owned(),
            rule: OutputRule {
                existing,
                data: self.data_folder().ok(),
            },
        };
        if !destination.is_standard() {
            self.may_write(&mut destination, path)?;
        } else if self.json {
            return Err(Trouble::user(
                "the result and its JSON cannot both go to standard output; name a file, or leave --json out",
            )
            .with(option, "-"));
        }
        Ok(destination)
    }

    /// Looks at where a picture is to go, where one was asked for.
    pub(super) fn png(
        &mut self,
        path: Option<&Path>,
        force: bool,
    ) -> Result<Option<Destination>, Trouble> {
        path.map(|path| self.destination("--png", path, force))
            .transpose()
    }

    /// Checks one file of a result; asks on a terminal whether one that is there may go.
    fn may_write(&mut self, to: &mut Destination, path: &Path) -> Result<(), Trouble> {
        match check_output(path, &to.rule) {
            Err(StoreError::Exists { .. })
                if self.environment.interactive
                    && self
                        .out
                        .asked(&format!("{} is there already. Replace it?", path.display())) =>
            {
                to.rule.existing = Existing::Replace;
                Ok(())
            }
            other => other.or_trouble(to.option, path.display()),
        }
    }

    /// Writes a result of one file; returns whether there is a file to speak of.
    ///
    /// # Errors
    /// The disk's trouble, or that of standard output.
    pub(super) fn deliver(&mut self, to: &Destination, bytes: &[u8]) -> Result<bool, Trouble> {
        if to.is_standard() {
            self.out
                .result(bytes, self.environment.output_is_terminal)?;
            return Ok(false);
        }
        write_output(&to.path, bytes, &to.rule).or_trouble(to.option, to.path.display())?;
        Ok(true)
    }

    /// Writes a result of several files, of which none is written where one may not be.
    ///
    /// # Errors
    /// As [`Self::deliver`]; standard output takes one file only.
    pub(super) fn deliver_all(
        &mut self,
        mut to: Destination,
        files: &[(PathBuf, Vec<u8>)],
    ) -> Result<Vec<PathBuf>, Trouble> {
        if to.is_standard() {
            let [(_, bytes)] = files else {
                let text = format!(
                    "{} pages of this format are as many files; give a file's name, or --format pdf",
                    files.len()
                );
                return Err(Trouble::user(text).with(to.option, "-"));
            };
            self.deliver(&to, bytes)?;
            return Ok(Vec::new());
        }
        for (path, _) in files.iter().skip(1) {
            self.may_write(&mut to, path)?;
        }
        for (path, bytes) in files {
            write_output(path, bytes, &to.rule).or_trouble(to.option, path.display())?;
        }
        Ok(files.iter().map(|(path, _)| path.clone()).collect())
    }
}
