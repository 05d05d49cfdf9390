//! Reading the text of a kit file, or of a file beside it.

use super::trouble::{Trouble, shown};
use std::fs::{self, File};
use std::io::{self, ErrorKind, Read};
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
    let bytes = bytes(path, LARGEST_KIT).map_err(|error| trouble(&error))?;
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

/// The bytes of a regular file, or one byte more than the longest that is wanted. A pipe or a
/// device is refused before it is opened: it may never end, and opening alone can wait for ever.
pub(super) fn bytes(path: &Path, longest: u64) -> io::Result<Vec<u8>> {
    let metadata = fs::metadata(path)?;
    if !metadata.is_file() {
        let kind = match metadata.is_dir() {
            true => ErrorKind::IsADirectory,
            false => ErrorKind::InvalidInput,
        };
        return Err(io::Error::new(kind, "it is no regular file"));
    }
    let mut bytes = Vec::new();
    File::open(path)?
        .take(longest + 1)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
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
    fn a_named_pipe_and_an_endless_device_are_refused_at_once() {
        let room = tempfile::tempdir().unwrap();
        let pipe = room.path().join("kit.toml");
        let (mode, kind) = (rustix::fs::Mode::RUSR, rustix::fs::FileType::Fifo);
        rustix::fs::mknodat(rustix::fs::CWD, &pipe, kind, mode, 0).unwrap();
        let link = room.path().join("link.toml");
        std::os::unix::fs::symlink("/dev/zero", &link).unwrap();
        for path in [pipe.as_path(), link.as_path()] {
            let refusal = read(path).unwrap_err();
            assert!(refusal.to_string().contains("no regular file"), "{refusal}");
        }
    }

    #[test]
    fn a_folder_is_not_read_as_a_kit() {
        assert!(read(&std::env::temp_dir()).is_err());
    }
}
