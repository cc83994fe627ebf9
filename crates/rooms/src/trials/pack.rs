//! Logs read and packed, both at once. Not for: keeping them.

use std::fs::File;
use std::io::{Cursor, ErrorKind, Read, Write};
use std::path::PathBuf;

use flate2::Compression;
use flate2::read::MultiGzDecoder;
use flate2::write::GzEncoder;
use wakewright_logs::table::Mapping;
use wakewright_store::NewEnclosure;

use super::TrialError;
use crate::logs::{LONGEST_LOG_BYTES, Opened, read, too_long};

/// Packing speed against size: fast, since a log waits for it.
const PACKING: u32 = 3;

/// A log to be brought in.
#[derive(Debug, Clone)]
pub struct IncomingLog {
    /// Its name.
    pub name: String,
    /// Where its bytes are.
    pub path: PathBuf,
}

impl IncomingLog {
    fn open(&self) -> std::io::Result<File> {
        File::open(&self.path)
    }
}

/// A log that was read and packed, not yet kept.
#[derive(Debug)]
pub struct PackedLog {
    /// Its name.
    pub name: String,
    /// As it was read.
    pub opened: Opened,
    plain_bytes: u64,
    pub(super) digest: String,
    packed: Vec<u8>,
}

impl PackedLog {
    /// As the store takes it.
    #[must_use]
    pub fn new_log(&self) -> NewEnclosure<'_> {
        NewEnclosure {
            name: &self.name,
            place: "",
            plain_bytes: self.plain_bytes,
            digest: &self.digest,
            bytes: &self.packed,
        }
    }

    /// Bytes of the log, and of it packed.
    #[must_use]
    pub fn sizes(&self) -> (u64, u64) {
        (self.plain_bytes, self.packed.len() as u64)
    }
}

/// Reads and packs a log, both at once.
/// # Errors
/// [`TrialError::Log`] when it cannot be had, is no log or is too long; nothing was kept.
pub fn pack(incoming: &IncomingLog, mappings: &[Mapping]) -> Result<PackedLog, TrialError> {
    let fail = |why: String| TrialError::Log { name: incoming.name.clone(), why };
    let (packing, opened) = std::thread::scope(|scope| {
        let packing = scope.spawn(|| pack_bytes(incoming.open()?));
        let opened = incoming.open().map(|bytes| read(&incoming.name, bytes, mappings));
        (packing.join(), opened)
    });
    let opened = opened.map_err(|error| fail(error.to_string()))?;
    if let Err(why) = &opened.log {
        return Err(fail(why.clone()));
    }
    let packing = packing.unwrap_or_else(|_| Err(std::io::Error::other("packing it broke off")));
    let (packed, plain_bytes, digest) = packing.map_err(|error| fail(error.to_string()))?;
    Ok(PackedLog { name: incoming.name.clone(), opened, plain_bytes, digest, packed })
}

/// The bytes packed with gzip (those that are so already stay as they are), their plain length and
/// digest.
fn pack_bytes(mut bytes: impl Read) -> std::io::Result<(Vec<u8>, u64, String)> {
    let mut head = Vec::new();
    bytes.by_ref().take(2).read_to_end(&mut head)?;
    let is_packed = head == [0x1f, 0x8b];
    let mut whole = Cursor::new(head).chain(bytes);
    let mut count = Counted::default();
    let packed = if is_packed {
        let mut packed = Vec::new();
        whole.take(LONGEST_LOG_BYTES + 1).read_to_end(&mut packed)?;
        match count.drain(MultiGzDecoder::new(packed.as_slice())) {
            // What breaks off is kept as far as it goes: packed anew, so that it can be unpacked again.
            Err(error) if matches!(error.kind(), ErrorKind::UnexpectedEof | ErrorKind::InvalidInput) => {
                let mut plain = Vec::new();
                let _ =
                    MultiGzDecoder::new(packed.as_slice()).take(LONGEST_LOG_BYTES).read_to_end(&mut plain);
                return pack_bytes(plain.as_slice());
            }
            read => read?,
        }
        packed
    } else {
        let mut packer = GzEncoder::new(Vec::new(), Compression::new(PACKING));
        let mut block = vec![0; 256 * 1024];
        loop {
            let length = whole.read(&mut block)?;
            if length == 0 {
                break packer.finish()?;
            }
            count.add(&block[..length])?;
            packer.write_all(&block[..length])?;
        }
    };
    Ok((packed, count.bytes, count.digest()))
}

/// Length and digest of a log that is packed.
/// # Errors
/// It cannot be unpacked, or is too long.
pub(crate) fn unpacked_digest(packed: &[u8]) -> std::io::Result<(u64, String)> {
    let mut count = Counted::default();
    count.drain(MultiGzDecoder::new(packed))?;
    Ok((count.bytes, count.digest()))
}

/// The digest by which a file is known again, of bytes that are all there.
pub(crate) fn digest_of(bytes: &[u8]) -> String {
    let mut count = Counted::default();
    // What is in memory is never too long to be counted.
    let _ = count.add(bytes);
    count.digest()
}

/// Counts bytes and digests them: FNV-1a, enough to know a file again.
struct Counted {
    bytes: u64,
    digest: u64,
}

impl Default for Counted {
    fn default() -> Self {
        Self { bytes: 0, digest: 0xcbf2_9ce4_8422_2325 }
    }
}

impl Counted {
    fn add(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        self.bytes += bytes.len() as u64;
        if self.bytes > LONGEST_LOG_BYTES {
            return Err(too_long());
        }
        self.digest = bytes.iter().fold(self.digest, |digest, byte| {
            (digest ^ u64::from(*byte)).wrapping_mul(0x0000_0100_0000_01b3)
        });
        Ok(())
    }

    fn digest(&self) -> String {
        format!("{}-{:016x}", self.bytes, self.digest)
    }

    fn drain(&mut self, mut reader: impl Read) -> std::io::Result<()> {
        let mut block = vec![0; 256 * 1024];
        loop {
            let length = reader.read(&mut block)?;
            if length == 0 {
                return Ok(());
            }
            self.add(&block[..length])?;
        }
    }
}
