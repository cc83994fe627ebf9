//! What the recorded logs say, held against what is known of them: speeds of the passage and of the
//! bus under way, clear reports of broken files, tracks, tables.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::fmt::Write;
use std::io::{BufReader, Cursor};

use wakewright_logs::{
    BadKind, FileKind, Log, LogError, LogNotice, Measured, SNIFF_BYTES, TimeBase, read_log, sniff, table,
};
use wakewright_testkit::{assert_near, assert_within, reference_dir};

const KNOT_M_S: f64 = 1852.0 / 3600.0;

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(reference_dir().join("logs").join(name)).unwrap()
}

fn read(bytes: &[u8]) -> Result<Log, LogError> {
    read_log(Cursor::new(bytes), sniff(&bytes[..bytes.len().min(SNIFF_BYTES)]))
}

fn log(name: &str) -> Log {
    read(&bytes(name)).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn sorted(log: &Log, measured: Measured) -> Vec<f64> {
    let mut values: Vec<f64> = log.of(measured).flat_map(|c| c.values.iter().copied()).collect();
    values.sort_by(f64::total_cmp);
    values
}

fn median(log: &Log, measured: Measured) -> f64 {
    let values = sorted(log, measured);
    values[values.len() / 2]
}

fn has(log: &Log, word: &str) -> bool {
    log.notices.iter().any(|notice| notice.word() == word)
}

#[test]
fn passage_under_sail_is_sensible() {
    let log = log("nmea0183/passage_instruments_18000_lines.log");
    assert_eq!(log.time_base, TimeBase::TimeOfDay);
    let (start, end) = log.span_s().unwrap();
    assert_near("start 10:47:10", start, 10.0 * 3600.0 + 47.0 * 60.0 + 10.0, 0.5);
    assert!((end - start) > 2000.0 && (end - start) < 3600.0, "{}", end - start);
    let (water, ground) = (Measured::SpeedThroughWater, Measured::SpeedOverGround);
    assert_near("speed through water", median(&log, water) / KNOT_M_S, 2.62, 0.01);
    assert!((0.8..6.5).contains(&(median(&log, ground) / KNOT_M_S)));
    // Near 60 N, 23.5 E.
    assert_near("latitude", median(&log, Measured::Latitude).to_degrees(), 60.0, 0.1);
    assert_near("longitude", median(&log, Measured::Longitude).to_degrees(), 23.5, 0.1);
    assert!(has(&log, "no-date"));
    assert!(!has(&log, "clock-goes-back"), "{:?}", log.notices);
}

#[test]
fn bus_under_way_is_sensible() {
    let log = log("nmea2000/n2k_under_way_csv.data");
    assert_eq!(log.time_base, TimeBase::Utc);
    let water = sorted(&log, Measured::SpeedThroughWater);
    assert_within(
        "speed through water 6.5 kn",
        median(&log, Measured::SpeedThroughWater) / KNOT_M_S,
        6.5,
        0.05,
    );
    assert!(water.iter().all(|v| (2.0..9.0).contains(&(v / KNOT_M_S))));
    let ground = median(&log, Measured::SpeedOverGround) / KNOT_M_S;
    assert!((5.0..8.0).contains(&ground), "{ground}");
    for voltage in sorted(&log, Measured::Voltage) {
        assert!((8.0..32.0).contains(&voltage), "{voltage}");
    }
    // Speed between positions agrees with the receiver's speed over ground: latitude, longitude,
    // time and speed are decoded by separate fields.
    let channel = |measured| log.of(measured).max_by_key(|c| c.count).unwrap();
    let (latitude, longitude) = (channel(Measured::Latitude), channel(Measured::Longitude));
    let last = latitude.values.len() - 1;
    let north = latitude.values[last] - latitude.values[0];
    let east = (longitude.values[last] - longitude.values[0]) * latitude.values[0].cos();
    let made_good = north.hypot(east) * 6.371e6 / (latitude.times_s[last] - latitude.times_s[0]);
    assert_within("speed between positions", made_good / KNOT_M_S, ground, 0.1);
}

#[test]
fn engine_and_batteries_are_sensible() {
    let idle = log("nmea2000/n2k_engine_idle_csv.raw");
    assert_within("idle", median(&idle, Measured::MotorSpeed) * 60.0, 800.0, 0.05);
    let dock = log("nmea2000/n2k_dock_batteries_csv.raw");
    assert!(sorted(&dock, Measured::Voltage).iter().any(|v| (24.0..29.0).contains(v)));
    // A warm port: the air is told as 27 °C, the water as 32 °C.
    assert_near("water", median(&dock, Measured::WaterTemperature), 273.15 + 32.0, 1.0);
    assert_near("air", median(&dock, Measured::AirTemperature), 273.15 + 27.5, 1.0);
    // Long messages from single frames, LF and CR LF alike.
    let (lf, crlf) = (log("nmea2000/candump-fast.txt"), log("nmea2000/candump-fast-cr.txt"));
    assert_eq!(lf.channels, crlf.channels);
    assert!(lf.of(Measured::MotorTemperature).next().is_some());
}

fn sentence(body: &str) -> String {
    format!("${body}*{:02X}\n", body.bytes().fold(0, |sum, byte| sum ^ byte))
}

#[test]
fn sources_that_disagree_are_noticed() {
    let mut text = String::new();
    for second in 0..40 {
        text += &sentence(&format!("IIGLL,5236.1,N,00518.4,E,1000{second:02},A"));
        text += &sentence(&format!("IIDBT,,f,{:.1},M,,F", 5.3 + 0.1 * f64::from(second % 3)));
        text += &sentence(&format!("SDDPT,{:.1},0.4", 7.3 + 0.1 * f64::from(second % 3)));
    }
    assert!(has(&read(text.as_bytes()).unwrap(), "disagree"));
    // This one's head says that the depths disagree; they do by one digit now and then.
    let log = log("nmea0183/plotter_instruments.log");
    assert!(!has(&log, "disagree"), "{:?}", log.notices);
    assert_eq!(log.time_base, TimeBase::Utc);
}

#[test]
fn time_that_goes_backwards_is_noticed() {
    assert!(has(&log("nmea0183/fishfinder_time_goes_backwards.log"), "clock-goes-back"));
    assert!(has(&log("nmea2000/mixed_single_boat.raw.txt"), "clock-goes-back"));
}

#[test]
fn logs_without_clock_say_so() {
    let log = log("nmea0183/numeric_talker_ids.log");
    assert_eq!(log.time_base, TimeBase::Lines);
    assert!(has(&log, "no-clock"));
    assert_eq!(sorted(&log, Measured::HeadingMagnetic).len(), 247 + 123);
}

#[test]
fn files_that_are_no_logs_are_told() {
    let kinds = [
        ("messy/binary_recorder_head.DAT", FileKind::Binary),
        ("messy/can0-1_head.pcap", FileKind::Capture),
        ("messy/gps_binary.log", FileKind::Binary),
        ("messy/gpsd_passthrough.log", FileKind::Json),
    ];
    for (name, kind) in kinds {
        let bytes = bytes(name);
        assert_eq!(sniff(&bytes), kind, "{name}");
        let error = read(&bytes).unwrap_err().to_string();
        assert!(error.len() > 20, "{name}: {error}");
    }
}

#[test]
fn broken_bus_lines_are_counted_by_kind() {
    let short = log("messy/n2k_short-frame.in");
    assert_eq!(short.messages.values().sum::<u64>(), 2);
    let truncated = log("messy/n2k_pgn-130823-truncated.in");
    assert_eq!(truncated.message_count("130823"), 3);
    let invalid = log("messy/n2k_invalid-pgn-test.in");
    assert_eq!(invalid.message_count("126992"), 1);
    assert_eq!(invalid.remarks, 5);
    let mixed = log("messy/n2k_mixed-format.in");
    assert_eq!(mixed.message_count("130824"), 7 + 2);
    let error_lines = log("messy/gps_chip_error.log");
    assert_eq!(error_lines.bad_count(BadKind::NoChecksum), 6);
    assert_eq!(error_lines.bad[&BadKind::NoChecksum].first, [9, 10, 11, 12, 13, 14]);
}

#[test]
fn malformed_transducer_values_are_counted() {
    let log = log("nmea0183/mixed_talkers_ais_instruments.log");
    assert!(log.bad_count(BadKind::BadField) > 0);
}

#[test]
fn tracks_give_speeds() {
    let track = log("gpx/derived_boat_track_150s.gpx");
    // The plotter log that it was made from: 4.3 to 6.7 kn over ground, 5.7 in the middle.
    assert_near("speed", median(&track, Measured::SpeedOverGround) / KNOT_M_S, 5.7, 0.15);
    let told = log("gpx/track_with_speed.gpx");
    let speeds: Vec<f64> =
        told.of(Measured::SpeedOverGround).find(|c| c.source.to_string() == "track").unwrap().values.clone();
    assert_eq!(speeds, [1.2, 2.2, 3.2]);
    assert!(has(&log("gpx/derived_boat_track_no_times.gpx"), "points-without-time"));
    for (name, points) in [
        ("gpx/gpx1.1_with_extensions.gpx", 1),
        ("gpx/gpx_with_vendor_extension.gpx", 1),
        ("gpx/unicode_with_bom.gpx", 1),
    ] {
        let log = log(name);
        assert_eq!((log.lines, log.message_count("wpt")), (points, points), "{name}");
    }
    assert!(log("gpx/route.gpx").message_count("rtept") > 10);
    let track_points = |name: &str| {
        let text = String::from_utf8(bytes(name)).unwrap();
        (log(name).message_count("trkpt"), text.matches("<trkpt ").count() as u64)
    };
    for name in [
        "gpx/cerknicko-jezero-without-elevations.gpx",
        "gpx/track-with-empty-segment.gpx",
        "gpx/track-with-extremes.gpx",
        "gpx/derived_boat_track_150s.gpx",
    ] {
        let (found, expected) = track_points(name);
        assert_eq!(found, expected, "{name}");
    }
}

#[test]
fn broken_off_track_keeps_what_came_before() {
    let bytes = bytes("gpx/derived_boat_track_150s.gpx");
    let log = read(&bytes[..bytes.len() / 2 + 20]).unwrap();
    assert!(log.lines > 60);
    assert!(log.bad_count(BadKind::BrokenOff) > 0, "{:?}", log.bad);
}

#[test]
fn packed_logs_read_as_unpacked_ones() {
    use std::io::Write;
    let plain = bytes("nmea0183/plotter_instruments.log");
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(&plain).unwrap();
    let packed = packer.finish().unwrap();
    assert_eq!(sniff(&packed), FileKind::Gzip);
    let reader = BufReader::new(flate2::read::MultiGzDecoder::new(packed.as_slice()));
    let unpacked = read_log(reader, FileKind::Nmea0183).unwrap();
    assert_eq!(unpacked, read(&plain).unwrap());
}

const GERMAN: &str = "Datum;Uhrzeit;Spannung [V];Strom [A];Drehzahl [1/min];Fahrt (kn)\n\
    25.11.2026;14:03:05;49,2;61,5;702;4,21\n\
    25.11.2026;14:03:06;49,1;62,0;703;4,22\n\
    25.11.2026;14:03:07;-;62,0;zu viel;4,20\n\
    25.11.2026;14:03:08;49,1;62,0\n\
    kaputt;14:03:09;49,1;62,0;700;4,20\n";

#[test]
fn tables_with_decimal_commas_are_mapped() {
    let proposal = table::propose(GERMAN.as_bytes()).unwrap();
    let mapping = &proposal.mapping;
    assert_eq!((mapping.separator, mapping.decimal_comma, mapping.head_line), (';', true, 1));
    let measured: Vec<Measured> = mapping.columns.iter().map(|c| c.measured).collect();
    use Measured as M;
    assert_eq!(measured, [M::Voltage, M::Current, M::MotorSpeed, M::SpeedOverGround]);
    let log = read(GERMAN.as_bytes()).unwrap();
    assert_eq!(log.of(M::Voltage).next().unwrap().values, [49.2, 49.1]);
    assert_near("speed", sorted(&log, M::SpeedOverGround)[2] / KNOT_M_S, 4.22, 1e-9);
    let (start, _) = log.span_s().unwrap();
    assert_near("start", start, 1_795_615_385.0, 1e-6);
    assert_eq!(log.bad_count(BadKind::BadRow), 1);
    assert_eq!(log.bad_count(BadKind::BadTime), 1);
    assert_eq!(log.bad[&BadKind::BadField].first, [4]);
    assert!(log.notices.contains(&LogNotice::NoZone));
    let kept = table::Mapping::from_json(&mapping.to_json()).unwrap();
    assert_eq!(&kept, mapping);
}

#[test]
fn confirmed_mappings_turn_signs_and_zones() {
    let mut mapping = table::propose(GERMAN.as_bytes()).unwrap().mapping;
    mapping.columns[1].is_negated = true;
    mapping.time.as_mut().unwrap().ahead_of_utc_s = Some(3600.0);
    let log = table::read(GERMAN.as_bytes(), &mapping).unwrap();
    assert_eq!(log.of(Measured::Current).next().unwrap().values[0], -61.5);
    assert_near("start", log.span_s().unwrap().0, 1_795_615_385.0 - 3600.0, 1e-6);
    assert!(!log.notices.contains(&LogNotice::NoZone));
    mapping.columns[1].unit = "kn".to_owned();
    assert!(table::read(GERMAN.as_bytes(), &mapping).is_err());
}

#[test]
fn tables_ask_what_they_do_not_say() {
    let american = "Timestamp,Batt_Current(A),GPS Speed\n01/02/2026 2:03:05 PM,12.5,4.2\n01/02/2026 2:03:06 PM,12.6,4.2\n";
    let reading = wakewright_logs::read(american.as_bytes(), &[]);
    let asked: Vec<&str> = reading.questions.iter().map(|q| q.key.as_str()).collect();
    assert_eq!(asked, ["unit/GPS Speed", "date/Timestamp"]);
    let units = &reading.questions[0].choices;
    assert_eq!(units[1].gives, "then she made 2.3 kn");
    assert_eq!(reading.questions[0].values, ["4.2", "4.2"]);
    assert!(has(&reading.log.unwrap(), "amps-without-volts"));
    let unix = "t_unix\tudc_v\tidc_a\n1795615385.5\t49.2\t60\n1795615386.5\t49.1\t61\n";
    let log = read(unix.as_bytes()).unwrap();
    assert_eq!(log.time_base, TimeBase::Utc);
    assert_eq!(log.span_s(), Some((1_795_615_385.5, 1_795_615_386.5)));
}

#[test]
fn frozen_paddle_wheel_is_noticed() {
    let mut text = String::from("elapsed (s),stw (kn),sog (kn)\n");
    for second in 0..300 {
        text += &format!("{second},0.0,{:.2}\n", 4.5 + 0.05 * f64::from(second % 7));
    }
    let log = read(text.as_bytes()).unwrap();
    let frozen = log.notices.iter().any(|notice| {
        matches!(notice, LogNotice::Frozen { measured: Measured::SpeedThroughWater, is_throughout: true, .. })
    });
    assert!(frozen, "{:?}", log.notices);
}

/// Moored in a stream she has no way over ground: nothing is frozen. A receiver that shows none while the motor pulls, or
/// while she sails, is.
#[test]
fn a_moored_boat_has_no_frozen_sensor() {
    let log_of = |stream: f64, amps: f64| {
        let mut text = String::from("time,SOG [kn],STW [kn],depth [m],volts [V],amps [A]\n");
        for second in 0..900 {
            let (minute, rest) = (second / 60, second % 60);
            let through = stream + f64::from(second % 4) / 10.0;
            let _ = writeln!(
                text,
                "2026-05-02 14:{minute:02}:{rest:02},0.00,{through:.1},4.20,51.{},{amps:.1}",
                second % 3
            );
        }
        read_log(Cursor::new(text), FileKind::Table).unwrap()
    };
    assert!(!has(&log_of(1.6, 0.4), "frozen"));
    assert!(has(&log_of(1.6, 45.0), "frozen"));
    assert!(has(&log_of(5.2, 0.4), "frozen"));
}

/// What is called frozen over all recordings and made-up files: each by hand.
#[test]
fn frozen_sensors_are_few() {
    let mut found = Vec::new();
    let mut files = Vec::new();
    let tests = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests");
    for folder in ["forms", "odd", "hard", "varied"] {
        files.extend(std::fs::read_dir(tests.join(folder)).unwrap().map(|entry| entry.unwrap().path()));
    }
    for folder in ["gpx", "messy", "nmea0183", "nmea2000"] {
        let folder = wakewright_testkit::reference_dir().join("logs").join(folder);
        files.extend(std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()));
    }
    let (mut read, mut held) = (0, 0);
    for path in files.iter().filter(|path| path.extension().is_none_or(|end| end != "expected")) {
        let Ok(log) = wakewright_logs::read(std::fs::File::open(path).unwrap(), &[]).log else { continue };
        read += 1;
        held += log.channels.len();
        let name = path.file_name().unwrap().to_str().unwrap();
        found.extend(log.notices.iter().filter_map(|notice| match notice {
            LogNotice::Frozen { measured, .. } => Some(format!("{name} {}", measured.word())),
            _ => None,
        }));
    }
    assert!(read > 200 && held > 900, "{read} logs, {held} channels");
    assert_eq!(found, Vec::<String>::new());
}

/// A well steered course in whole degrees stands for a minute and more, time and again: nothing is frozen.
#[test]
fn a_course_that_often_stands_is_not_frozen() {
    let log_of = |course: &dyn Fn(u32) -> u32| {
        let mut text = String::from("elapsed (s),cog (deg),sog (kn)\n");
        for second in 0..1200 {
            text += &format!("{second},{},{:.2}\n", course(second), 4.5 + 0.05 * f64::from(second % 7));
        }
        read(text.as_bytes()).unwrap()
    };
    let held = |second: u32| match second {
        300..450 => 90,
        other => 89 + other / 30 % 3,
    };
    assert!(!has(&log_of(&held), "frozen"));
    let stuck = |second: u32| if second < 600 { 89 + second % 3 } else { 90 };
    assert!(has(&log_of(&stuck), "frozen"));
}

#[test]
fn units_that_are_off_by_their_factor_are_asked_about() {
    let mut text = String::from("elapsed (s),stw (kn),sog (kn)\n");
    for second in 0..300 {
        let sog = 4.5 + 0.05 * f64::from(second % 7);
        text += &format!("{second},{:.2},{sog:.2}\n", 1.852 * sog);
    }
    assert!(has(&read(text.as_bytes()).unwrap(), "units-doubtful"));
}
