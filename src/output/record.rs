//! What a folder's listing records of the files beside it: the digest of each, and a seal.
//!
//! A digest is the SHA-256 of a file's bytes (FIPS 180-4), in hexadecimal digits. The record stands
//! at the end of the listing, as the fields `digests` and `seal`. The seal is the digest of all
//! that stands before it, so that a listing that was edited, in whatever place, is no record.

use super::file::OutFile;
use serde::Deserialize;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::error::Error;
use std::io::{self, Read};

/// What stands before the digits of the seal.
const BEFORE_SEAL: &str = ",\n  \"seal\": \"";
/// What stands behind them.
const AFTER_SEAL: &str = "\"\n}\n";
/// Bytes that are digested at a time: guess.
const CHUNK: usize = 64 << 10;

/// The digests of a folder's files, by their names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Record {
    digests: BTreeMap<String, String>,
}

#[derive(Deserialize)]
struct Recorded {
    digests: BTreeMap<String, String>,
}

impl Record {
    /// The record in a listing; `None` if it has none, or if it was edited.
    pub(crate) fn read(listing: &[u8]) -> Option<Self> {
        let before = listing.strip_suffix(AFTER_SEAL.as_bytes())?;
        let at = before
            .windows(BEFORE_SEAL.len())
            .rposition(|bytes| bytes == BEFORE_SEAL.as_bytes())?;
        let (sealed, seal) = before.split_at(at);
        if seal.get(BEFORE_SEAL.len()..)? != digest(sealed).as_bytes() {
            return None;
        }
        let recorded: Recorded = serde_json::from_slice(listing).ok()?;
        let Recorded { digests } = recorded;
        Some(Self { digests })
    }

    /// The digest of a file as it was written; `None` for one that the record does not have.
    pub(crate) fn of(&self, file: &str) -> Option<&str> {
        self.digests.get(file).map(String::as_str)
    }
}

/// The digest of some bytes.
pub(crate) fn digest(bytes: &[u8]) -> String {
    format!("{:x}", Sha256::digest(bytes))
}

/// The digest of all that a stream gives, which is never held as a whole.
///
/// # Errors
/// What keeps the stream from being read.
pub(crate) fn digest_of(mut stream: impl Read) -> io::Result<String> {
    let mut hasher = Sha256::new();
    let mut chunk = vec![0; CHUNK];
    loop {
        match stream.read(&mut chunk) {
            Ok(0) => return Ok(format!("{:x}", hasher.finalize())),
            Ok(count) => hasher.update(&chunk[..count]),
            Err(error) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(error) => return Err(error),
        }
    }
}

/// A listing, an indented JSON object, with the record of the files beside it at its end.
///
/// # Errors
/// What is no such object has no place for a record.
pub(crate) fn recorded(
    listing: &[u8],
    files: &[OutFile],
) -> Result<Vec<u8>, Box<dyn Error + Send + Sync>> {
    let Some(open) = listing.strip_suffix(b"\n}\n") else {
        return Err("the listing is no indented JSON object".into());
    };
    let digests: BTreeMap<&str, String> = files
        .iter()
        .map(|file| (file.path.as_str(), digest(&file.bytes)))
        .collect();
    let digests = serde_json::to_string_pretty(&digests)?;
    let mut sealed = open.to_vec();
    sealed.extend_from_slice(b",\n  \"digests\": ");
    sealed.extend_from_slice(digests.replace('\n', "\n  ").as_bytes());
    let seal = digest(&sealed);
    for text in [BEFORE_SEAL, &seal, AFTER_SEAL] {
        sealed.extend_from_slice(text.as_bytes());
    }
    Ok(sealed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn listing() -> Vec<u8> {
        let files = [OutFile::new("guide.md", "abc"), OutFile::new("b", "")];
        recorded(b"{\n  \"name\": \"x\"\n}\n", &files).unwrap()
    }

    #[test]
    fn digests_are_the_published_ones() {
        // FIPS 180-4's examples: "abc", and no bytes at all.
        let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        let none = "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855";
        assert_eq!(digest(b"abc"), abc);
        assert_eq!(digest_of(&b"abc"[..]).unwrap(), abc);
        assert_eq!(digest(b""), none);
        let record = Record::read(&listing()).unwrap();
        assert_eq!(record.of("guide.md"), Some(abc));
        assert_eq!(record.of("b"), Some(none));
        assert_eq!(record.of("c"), None);
    }

    #[test]
    fn a_stream_longer_than_a_chunk_has_the_digest_of_its_bytes() {
        let bytes: Vec<u8> = (0..=255).cycle().take(3 * CHUNK + 7).collect();
        assert_eq!(digest_of(&bytes[..]).unwrap(), digest(&bytes));
    }

    #[test]
    fn the_listing_stays_the_same_data() {
        let data: serde_json::Value = serde_json::from_slice(&listing()).unwrap();
        assert_eq!(data["name"], "x");
        assert_eq!(data["digests"].as_object().unwrap().len(), 2);
    }

    #[test]
    fn a_listing_with_any_byte_changed_is_no_record() {
        let whole = listing();
        for at in 0..whole.len() {
            let mut spoilt = whole.clone();
            spoilt[at] ^= 1;
            assert_eq!(Record::read(&spoilt), None, "byte {at}");
        }
        assert_eq!(Record::read(b""), None);
        assert_eq!(Record::read(&whole[..whole.len() - 1]), None);
    }

    #[test]
    fn what_is_no_indented_object_gets_no_record() {
        assert!(recorded(b"[]\n", &[]).is_err());
    }
}
