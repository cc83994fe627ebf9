//! One afternoon as a table in many guises: columns in another order, under other names of the same
//! thing, in other units, rows ended and cells parted in other ways. All give the same samples.
#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use proptest::prelude::*;
use wakewright_logs::{Measured as M, read};

/// Names of one quantity with their unit and how many of it make one of SI's.
type Guise = (&'static str, f64);

const KN: f64 = 3600.0 / 1852.0;
const VOLTS: [Guise; 9] = [
    ("Battery voltage [V]", 1.0),
    ("Batteriespannung (V)", 1.0),
    ("tension batterie [V]", 1.0),
    ("accuspanning V", 1.0),
    ("bank_mV", 1e3),
    ("pack voltage / V", 1.0),
    ("Tensione batteria [V]", 1.0),
    ("Akun jännite [V]", 1.0),
    ("U [V]", 1.0),
];
const AMPS: [Guise; 8] = [
    ("Battery current [A]", 1.0),
    ("Strom (A)", 1.0),
    ("courant [A]", 1.0),
    ("stroom A", 1.0),
    ("bank current mA", 1e3),
    ("Corriente [A]", 1.0),
    ("Virta [A]", 1.0),
    ("I [A]", 1.0),
];
const SPEEDS: [Guise; 8] = [
    ("SOG [kn]", KN),
    ("speed over ground (km/h)", 3.6),
    ("Fahrt über Grund [m/s]", 1.0),
    ("vitesse fond (nœuds)", KN),
    ("GPS speed km/h", 3.6),
    ("Hastighed over grund [knob]", KN),
    ("velocidad [nudos]", KN),
    ("speed_m_s", 1.0),
];
const TURNS: [Guise; 6] = [
    ("Motor rpm", 60.0),
    ("Motordrehzahl [U/min]", 60.0),
    ("régime moteur [tr/min]", 60.0),
    ("toerental (omw/min)", 60.0),
    ("Varvtal [varv/min]", 60.0),
    ("motor speed [rev/s]", 1.0),
];
const TIMES: [&str; 4] = ["time", "Zeitstempel", "Horodatage", "timestamp"];

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn guises_give_the_same_samples(
        names in (0..VOLTS.len(), 0..AMPS.len(), 0..SPEEDS.len(), 0..TURNS.len(), 0..TIMES.len()),
        order in Just(vec![0_usize, 1, 2, 3, 4]).prop_shuffle(),
        end in proptest::sample::select(vec!["\n", "\r\n", "\r"]),
        parted in proptest::sample::select(vec![(",", false), (";", true), (";", false), ("\t", true), ("\t", false)]),
        trails in any::<bool>(),
    ) {
        let (separator, comma) = parted;
        let heads = [TIMES[names.4], VOLTS[names.0].0, AMPS[names.1].0, SPEEDS[names.2].0, TURNS[names.3].0];
        let factors = [1.0, VOLTS[names.0].1, AMPS[names.1].1, SPEEDS[names.2].1, TURNS[names.3].1];
        let rows: Vec<[f64; 4]> = (0..40)
            .map(|i| {
                let x = f64::from(i);
                let speed = if i < 4 { 0.0 } else { 1.0 + 0.04 * x };
                [52.0 - 0.03 * x, 2.0 + 12.0 * speed.powi(2), speed, 6.3 * speed]
            })
            .collect();
        let write = |value: f64| {
            let text = format!("{value:.4}");
            if comma { text.replace('.', ",") } else { text }
        };
        let line = |cells: Vec<String>| {
            let mut line: Vec<String> = order.iter().map(|at| cells[*at].clone()).collect();
            if trails {
                line.push(String::new());
            }
            line.join(separator)
        };
        let mut text = line(heads.iter().map(|head| (*head).to_owned()).collect());
        for (i, row) in rows.iter().enumerate() {
            let mut cells = vec![format!("2026-05-02T14:{:02}:{:02}Z", i * 5 / 60, i * 5 % 60)];
            cells.extend(row.iter().zip(&factors[1..]).map(|(value, factor)| write(value * factor)));
            text += end;
            text += &line(cells);
        }
        text += end;
        let reading = read(text.as_bytes(), &[]);
        // Whose turns they are is all that may be asked.
        let others = reading.questions.iter().filter(|question| question.key != "turns").count();
        prop_assert_eq!(others, 0, "{:?}: {:?}", &heads, &reading.questions);
        let log = reading.log.unwrap();
        for (place, measured) in [M::Voltage, M::Current, M::SpeedOverGround, M::MotorSpeed].into_iter().enumerate() {
            let channels: Vec<_> = log.of(measured).collect();
            prop_assert_eq!(channels.len(), 1, "{:?} {:?}", measured, &heads);
            prop_assert_eq!(channels[0].values.len(), rows.len(), "{:?} {:?}", measured, &heads);
            for (value, row) in channels[0].values.iter().zip(&rows) {
                prop_assert!((value - row[place]).abs() <= 6e-5, "{:?} {:?}: {value} for {}", measured, &heads, row[place]);
            }
        }
    }
}
