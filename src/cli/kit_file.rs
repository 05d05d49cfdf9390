//! Reading the text of a kit file, or of a file beside it.

use super::trouble::{Trouble, shown};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// Bytes beyond which a file is not taken for a kit: guess, a thousand times a long kit. It
/// keeps a device or a mesh named by mistake from filling the memory.
const LARGEST_KIT: u64 = 1 << 20;

/// The text of a kit file.
pub(super) fn read(path: &Path) -> Result<String, Trouble> {
    text(path).map_err(|(kind, message)| {
        let trouble = Trouble::new(message);
        match kind {
            ErrorKind::NotFound => {
                trouble.mend("check the path, or write a kit with `netlead start PRESET FILE`")
            }
            ErrorKind::FileTooLarge => trouble.mend("name the TOML file that describes the kit"),
            ErrorKind::InvalidData => trouble.mend("save the file as UTF-8 text"),
            _ => trouble,
        }
    })
}

/// The text of a TOML file, or what keeps it from being read, and which kind of thing that is.
pub(super) fn text(path: &Path) -> Result<String, (ErrorKind, String)> {
    let trouble = |error: &std::io::Error| {
        let message = format!("cannot read {}: {error}", shown(path));
        (error.kind(), message)
    };
    let file = File::open(path).map_err(|error| trouble(&error))?;
    let mut bytes = Vec::new();
    file.take(LARGEST_KIT + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| trouble(&error))?;
    if bytes.len() as u64 > LARGEST_KIT {
        let message = format!(
            "{} is larger than 1 MiB, so it is no kit or profile",
            shown(path)
        );
        return Err((ErrorKind::FileTooLarge, message));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        let message = format!("{} is not UTF-8 text at byte {at}", shown(path));
        (ErrorKind::InvalidData, message)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_bytes(bytes: &[u8]) -> Result<String, Trouble> {
        let file = tempfile::NamedTempFile::new().unwrap();
        std::fs::write(file.path(), bytes).unwrap();
        read(file.path())
    }

    #[test]
    fn a_kit_of_a_mebibyte_is_read_and_one_byte_more_is_refused() {
        assert!(read_bytes(&vec![b' '; 1 << 20]).is_ok());
        let refusal = read_bytes(&vec![b' '; (1 << 20) + 1]).unwrap_err();
        assert!(refusal.to_string().contains("larger than 1 MiB"));
    }

    #[test]
    fn text_that_is_not_utf_8_is_refused_with_the_place() {
        let refusal = read_bytes(b"name = \"\xff\"").unwrap_err();
        assert!(refusal.to_string().contains("at byte 8"));
    }

    #[test]
    fn a_folder_is_not_read_as_a_kit() {
        assert!(read(&std::env::temp_dir()).is_err());
    }
}
