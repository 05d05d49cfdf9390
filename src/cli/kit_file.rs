//! Reading the text of a kit file.

use super::trouble::{Trouble, shown};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// Bytes beyond which a file is not taken for a kit: guess, a thousand times a long kit. It
/// keeps a device or a mesh named by mistake from filling the memory.
const LARGEST_KIT: u64 = 1 << 20;

/// The text of a kit file.
pub(super) fn read(path: &Path) -> Result<String, Trouble> {
    let trouble = |error: &std::io::Error| {
        let trouble = Trouble::io("read", path, error);
        if error.kind() == std::io::ErrorKind::NotFound {
            trouble.mend("check the path, or write a kit with `netlead start PRESET FILE`")
        } else {
            trouble
        }
    };
    let file = File::open(path).map_err(|error| trouble(&error))?;
    let mut bytes = Vec::new();
    file.take(LARGEST_KIT + 1)
        .read_to_end(&mut bytes)
        .map_err(|error| trouble(&error))?;
    if bytes.len() as u64 > LARGEST_KIT {
        return Err(Trouble::new(format!(
            "{} is larger than 1 MiB, so it is no kit",
            shown(path)
        ))
        .mend("name the TOML file that describes the kit"));
    }
    String::from_utf8(bytes).map_err(|error| {
        let at = error.utf8_error().valid_up_to();
        Trouble::new(format!("{} is not UTF-8 text at byte {at}", shown(path)))
            .mend("save the kit as UTF-8 text")
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
