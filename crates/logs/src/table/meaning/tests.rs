//! What columns are taken for, name by name. Not for: whole tables (the corpus).
use super::*;

fn said(name: &str) -> Option<(M, &'static str)> {
    let meaning = meaning_of(name)?;
    Some((meaning.measured, meaning.unit.map_or("", Unit::symbol)))
}

#[test]
fn names_in_eleven_languages() {
    let expected = [
        ("Battery voltage [V]", M::Voltage, "V"),
        ("Batteriespannung (V)", M::Voltage, "V"),
        ("Tension batterie", M::Voltage, ""),
        ("Accuspanning", M::Voltage, ""),
        ("Tensión batería (V)", M::Voltage, "V"),
        ("Tensione batteria", M::Voltage, ""),
        ("Batterispänning", M::Voltage, ""),
        ("Batterispænding", M::Voltage, ""),
        ("Batterispenning", M::Voltage, ""),
        ("Akun jännite", M::Voltage, ""),
        ("Tensão bateria", M::Voltage, ""),
        ("Strom [A]", M::Current, "A"),
        ("Courant", M::Current, ""),
        ("Stroom (A)", M::Current, "A"),
        ("Corriente", M::Current, ""),
        ("Corrente (A)", M::Current, "A"),
        ("Ström", M::Current, ""),
        ("Strøm", M::Current, ""),
        ("Virta (A)", M::Current, "A"),
        ("Motordrehzahl [U/min]", M::MotorSpeed, "rpm"),
        ("Régime moteur (tr/min)", M::MotorSpeed, "rpm"),
        ("Toerental", M::MotorSpeed, ""),
        ("Varvtal", M::MotorSpeed, ""),
        ("Omdrejninger", M::MotorSpeed, ""),
        ("Turtall", M::MotorSpeed, ""),
        ("Kierrosluku", M::MotorSpeed, ""),
        ("Propeller rpm", M::ShaftSpeed, "rpm"),
        ("Fahrt durchs Wasser (kn)", M::SpeedThroughWater, "kn"),
        ("Vitesse surface [nœuds]", M::SpeedThroughWater, "kn"),
        ("Vitesse fond (nd)", M::SpeedOverGround, "kn"),
        ("Fahrt über Grund", M::SpeedOverGround, ""),
        ("speed_m_s", M::SpeedOverGround, "m/s"),
        ("speed [m/s]", M::SpeedOverGround, "m/s"),
        ("SOG (km/h)", M::SpeedOverGround, "km/h"),
        ("Wassertiefe [m]", M::DepthBelowTransducer, "m"),
        ("Ladezustand %", M::StateOfCharge, "%"),
        ("State of charge", M::StateOfCharge, ""),
        ("V", M::Voltage, ""),
        ("I [A]", M::Current, "A"),
        ("Leistung kW", M::Power, "kW"),
        ("Bank 1 A", M::Current, "A"),
        ("AWS kn", M::ApparentWindSpeed, "kn"),
        ("GPS speed km/h", M::SpeedOverGround, "km/h"),
        ("speed/km/h", M::SpeedOverGround, "km/h"),
        ("Spannung/V", M::Voltage, "V"),
        ("current_mA", M::Current, "mA"),
        ("Potencia (W)", M::Power, "W"),
        ("Teho (kW)", M::Power, "kW"),
    ];
    for (name, measured, unit) in expected {
        assert_eq!(said(name), Some((measured, unit)), "{name}");
    }
}

#[test]
fn names_of_other_things_are_left() {
    for name in [
        "Consumed Ah",
        "Motor hours",
        "Engine hours [h]",
        "Energy (kWh)",
        "Cell 3 voltage (V)",
        "Max cell voltage",
        "Phase current (A)",
        "Iq [A]",
        "current time",
        "Strömung [°]",
        "Voltage [%]",
        "Speed (%)",
        "Current limit (A)",
        "Error code",
        "Type A sensor",
        "Power factor [Wh]",
        "VMG (kn)",
        "Distance (nm)",
        "Tidal current",
    ] {
        let said = said(name);
        assert!(said.is_none(), "{name}: {said:?}");
    }
}

#[test]
fn parts_are_told_apart() {
    let of = |name: &str| meaning_of(name).map(|m| (m.part, m.of)).unwrap();
    assert_eq!(of("Pack voltage (V)"), (Part::Bank, String::new()));
    assert_eq!(of("Bank 2 current (A)"), (Part::Bank, "2".to_owned()));
    assert_eq!(of("House voltage").0, Part::House);
    assert_eq!(of("Motor current (A)").0, Part::Motor);
    assert_eq!(of("Solar current (A)").0, Part::Other);
    assert_eq!(of("Port bank volts"), (Part::Bank, "port".to_owned()));
}

/// A pack's letter is neither amps nor power: half of the power would be taken for all of it.
#[test]
fn letters_of_packs_tell_which_of_several() {
    let heads = [
        ("Pack A V", M::Voltage, "a"),
        ("Pack A A", M::Current, "a"),
        ("Pack B A", M::Current, "b"),
        ("Pack_A_V", M::Voltage, "a"),
        ("A V", M::Voltage, "a"),
        ("A A", M::Current, "a"),
        ("B V", M::Voltage, "b"),
        ("Bat. A U", M::Voltage, "a"),
        ("Bat. B I", M::Current, "b"),
        ("Batt P voltage", M::Voltage, "p"),
        ("Batt S current", M::Current, "s"),
    ];
    for (name, measured, of) in heads {
        let meaning = meaning_of(name).map(|meaning| (meaning.measured, meaning.of));
        assert_eq!(meaning, Some((measured, of.to_owned())), "{name}");
    }
    for (name, measured) in
        [("A", M::Current), ("A (A)", M::Current), ("Battery A", M::Current), ("P batt", M::Power)]
    {
        assert_eq!(meaning_of(name).map(|meaning| meaning.measured), Some(measured), "{name}");
    }
}
