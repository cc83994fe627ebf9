//! Every reader against inputs of its own: files of its form and recorded logs with bytes changed, cut out, doubled,
//! laid into each other, and with words that are odd in a log. Counted by reader, with the slowest.
//!
//! `scripts/fuzz-logs` makes it 100,000 inputs for each reader; here a few hundred.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::collections::BTreeMap;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, SystemTime};

use wakewright_logs::{FileKind, SNIFF_BYTES, read, read_log, sniff, table};
use wakewright_testkit::reference_dir;

use super::fuzz::hold;

/// Inputs for each reader, unless `WAKEWRIGHT_READER_INPUTS` says another number.
const INPUTS: usize = 300;
/// Written down before it was first run, and not changed since.
const SEED: u64 = 20_260_502;
/// No input of a few kilobytes may take longer, in a build that is not optimised.
const SLOWEST: Duration = Duration::from_secs(5);
/// One that takes longer is kept, to be looked at.
const SLOW: Duration = Duration::from_secs(1);
/// Bytes of a file that are taken where it is text.
const TAKEN: usize = 600;
/// And where it is not.
const LARGEST: usize = 32 * 1024;

/// SplitMix64: Steele, Lea and Flood, Fast splittable pseudorandom number generators, 2014, figure 17.
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, most: usize) -> usize {
        if most == 0 { 0 } else { (self.next() % most as u64) as usize }
    }
}

/// What no log should hold, and some do.
const ODD: [&[u8]; 22] = [
    b"1e999",
    b"-0",
    b"NaN",
    b"99999999999999999999",
    b"0.000000000000000000001",
    b"\0",
    b"\"",
    b"{",
    b"[[",
    b"]}",
    b",,,,",
    b"\r",
    b"\n\n",
    b"\xff\xfe",
    "\u{202f}".as_bytes(),
    b"24:60:61",
    b"2026-13-45",
    b"1970-01-01",
    b"\t=",
    b"*ZZ",
    b"9223372036854775808",
    b"-2147483649",
];

/// Time for which this thread was busy: others on the machine do not count. Where the system tells none, the clock's.
fn busy() -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let busy_ns = told.and_then(|text| text.split(' ').next()?.parse().ok());
    busy_ns.map_or_else(|| SystemTime::UNIX_EPOCH.elapsed().unwrap_or_default(), Duration::from_nanos)
}

fn spoilt(seeds: &[Vec<u8>], chance: &mut Chance) -> Vec<u8> {
    let mut bytes = seeds[chance.below(seeds.len())].clone();
    for _ in 0..chance.below(4) {
        let at = chance.below(bytes.len() + 1);
        match chance.below(6) {
            0 => {
                for _ in 0..chance.below(12) {
                    let at = chance.below(bytes.len());
                    if let Some(byte) = bytes.get_mut(at) {
                        *byte = chance.next() as u8;
                    }
                }
            }
            1 => drop(bytes.drain(at..(at + chance.below(200)).min(bytes.len()))),
            2 => {
                let piece = bytes[at..(at + chance.below(200)).min(bytes.len())].to_vec();
                bytes.splice(at..at, piece);
            }
            3 => drop(bytes.splice(at..at, ODD[chance.below(ODD.len())].iter().copied())),
            4 => {
                let other = &seeds[chance.below(seeds.len())];
                let from = chance.below(other.len());
                let piece = other[from..(from + chance.below(300)).min(other.len())].to_vec();
                bytes.splice(at..at, piece);
            }
            _ => bytes.truncate(at),
        }
    }
    bytes
}

/// A kind of file, and the beginnings of such files.
type OfReader = (FileKind, Vec<Vec<u8>>);

/// Files by the reader that they go to.
fn seeds() -> BTreeMap<String, OfReader> {
    let tests = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    let logs = reference_dir().join("logs");
    let folders = [
        tests.join("forms"),
        tests.join("odd"),
        tests.join("hard"),
        tests.join("varied"),
        tests.join("told"),
        tests.join("parquet"),
        tests.join("corpus"),
        logs.join("gpx"),
        logs.join("messy"),
        logs.join("nmea0183"),
        logs.join("nmea2000"),
    ];
    let mut readers: BTreeMap<String, OfReader> = BTreeMap::new();
    for folder in folders {
        let mut files: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.sort();
        for path in files.iter().filter(|path| path.extension().is_none_or(|end| end != "expected")) {
            let bytes = std::fs::read(path).unwrap();
            let head = &bytes[..bytes.len().min(SNIFF_BYTES)];
            let kind = sniff(head);
            let mut name = kind.label().to_owned();
            if kind == FileKind::Table
                && let Ok(proposal) = table::propose(head)
            {
                name = format!("{name}, {:?}", proposal.mapping.shape);
            }
            // A packed file must end as it ends, and so must one value of JSON.
            let is_one = matches!(kind, FileKind::JsonColumns | FileKind::GeoJson | FileKind::Json);
            let is_lines = !is_one && std::str::from_utf8(&bytes).is_ok();
            let most = if is_lines { TAKEN } else { bytes.len().min(LARGEST) };
            let taken = bytes[..bytes.len().min(most)].to_vec();
            readers.entry(name).or_insert_with(|| (kind, Vec::new())).1.push(taken);
        }
    }
    readers.retain(|_, (kind, _)| !matches!(kind, FileKind::Unknown | FileKind::Empty | FileKind::Capture));
    readers
}

#[test]
fn each_reader_takes_anything() {
    let inputs =
        std::env::var("WAKEWRIGHT_READER_INPUTS").ok().and_then(|text| text.parse().ok()).unwrap_or(INPUTS);
    // Each keeps its own chances, whether or not the others run.
    let wanted = std::env::var("WAKEWRIGHT_READER");
    let is_wanted = |name: &str| wanted.as_ref().map_or(true, |wanted| name.contains(wanted));
    let readers: Vec<(String, OfReader)> = seeds().into_iter().collect();
    assert!(readers.len() >= 18, "{:?}", readers.iter().map(|(name, _)| name).collect::<Vec<_>>());
    let (next, said) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    let work = || {
        while let Some((name, (kind, seeds))) = readers.get(next.fetch_add(1, Ordering::Relaxed)) {
            if !is_wanted(name) {
                continue;
            }
            let place = readers.iter().position(|(known, _)| known == name).unwrap();
            let mut chance = Chance(SEED + place as u64);
            let (mut panics, mut caught, mut logs, mut slowest) = (0, 0, 0, Duration::ZERO);
            let all = busy();
            for number in 0..inputs {
                let bytes = spoilt(seeds, &mut chance);
                let begun = busy();
                let done = catch_unwind(AssertUnwindSafe(|| {
                    // The reader itself, and the whole way to it.
                    let log = if number % 3 == 0 {
                        read_log(bytes.as_slice(), *kind)
                    } else {
                        read(bytes.as_slice(), &[]).log
                    };
                    if let Ok(log) = &log {
                        hold(log);
                    }
                    log.map_err(|error| error.to_string()).map(|_| ())
                }));
                let lasted = busy().saturating_sub(begun);
                slowest = slowest.max(lasted);
                if done.is_err() || lasted > SLOW {
                    let file = std::env::temp_dir().join(format!("reader-{place}-{number}"));
                    let _ = std::fs::write(&file, &bytes);
                    eprintln!("{name}: input {number}, {lasted:?}, is in {}", file.display());
                }
                panics += usize::from(done.is_err());
                logs += usize::from(matches!(done, Ok(Ok(()))));
                // A library's own, told as a broken file.
                caught += usize::from(matches!(done, Ok(Err(why)) if why.contains("where nobody looked")));
            }
            // Told as each is done: all of them together take their time.
            let (slowest_ms, mean_ms) =
                (slowest.as_secs_f64() * 1e3, busy().saturating_sub(all).as_secs_f64() * 1e3 / inputs as f64);
            println!(
                "{name:32} {:4} files {inputs:8} inputs {logs:8} logs {panics:4} panics, {caught} caught, slowest {slowest_ms:6.1} ms, mean {mean_ms:5.2} ms",
                seeds.len()
            );
            said.lock().unwrap().push((name.clone(), panics, slowest));
        }
    };
    println!("seed {SEED}, {inputs} inputs for each reader");
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(4);
    std::thread::scope(|scope| {
        for _ in 0..threads {
            scope.spawn(work);
        }
    });
    let said = said.into_inner().unwrap();
    assert!(said.iter().all(|(_, panics, slowest)| *panics == 0 && *slowest < SLOWEST), "{said:?}");
}
