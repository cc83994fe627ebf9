//! The sheets under sail. Not for: how they are worked out (`study`).

use wakewright_units::Quantity;

use super::figure::{
    CANCELLING_POWER, FREE_DRAG, GREATEST_POWER, HELD_DRAG, HELD_LOSS, SAIL_FIGURES, STORED_DAY,
    STORED_POWER, VOLTS_CUT_OFF,
};
use super::prepared::{Mode, ModeState};
use super::study::{ModeIntervals, SailRow, SailStudy};
use crate::sheet::{AnySheet, Column, Figure, Form, List, Origin, Sheet, Word, itself, plain};

/// Every sheet, in its order in files.
pub static SAIL_SHEETS: [&dyn AnySheet<SailStudy>; 8] =
    [&SUMMARY, &FIGURES, &SPEEDS, &COST, &RETURN, &BRAKING, &MODES, &SETTINGS];

static FIGURES: Sheet<SailStudy, SailStudy> = Sheet {
    key: "figures",
    title: "Under sail",
    form: Form::List,
    columns: &[&SAIL_FIGURES],
    rows: itself,
    tone: plain,
};

static SPEED: Figure = Figure::asked("speed", "speed", "speed through the water", Quantity::Speed);
static IS_STOWED: Figure =
    Figure::plain("is_stowed", "stowed", "blades fold or feather under sail", Origin::Asked);
static FINDING_SPEED: Figure =
    Figure::asked("finding_speed", "speed", "speed that the finding tells of", Quantity::Speed);
static LOSS_ALLOWED: Figure = Figure::asked(
    "loss_allowed",
    "loss allowed",
    "loss of speed allowed beyond free turning",
    Quantity::Speed,
);
static STARTS_TURNING: Figure = Figure {
    key: "shaft_starts_turning",
    head: "starts at",
    label: "speed or stream that sets a free shaft turning",
    quantity: Quantity::Speed,
    origin: Origin::Of("free_drag"),
};
static FREE_DRAGS_LESS: Figure = Figure {
    key: "free_drags_less_from",
    head: "free drags\nless from",
    label: "speed from which a shaft left free drags less than one that is held",
    quantity: Quantity::Speed,
    origin: Origin::Of("free_drag"),
};
static CONTROLLER_LIMIT: Figure =
    Figure::asked("controller_limit", "limit", "highest volts that the controller stands", Quantity::Voltage);
static CONTROLLER_LIMIT_AT: Figure = Figure {
    key: "controller_limit_at",
    head: "passed at",
    label: "speed at which the free propeller passes them with the bank cut off",
    quantity: Quantity::Speed,
    origin: Origin::Of("volts_cut_off"),
};
static STOPPING_FROM: Figure = Figure {
    key: "stopping_from",
    head: "from",
    label: "full speed, from which she is stopped",
    quantity: Quantity::Speed,
    origin: Origin::Of("speed"),
};

static SUMMARY: Sheet<SailStudy, SailStudy> = Sheet {
    key: "summary",
    title: "What is told of",
    form: Form::Files,
    columns: &[&List(&[
        OfStudy::flag(&IS_STOWED, |s| Some(s.is_stowed)),
        OfStudy::number(&FINDING_SPEED, |s| s.finding_row().map(|row| row.speed_m_s)),
        OfStudy::number(&LOSS_ALLOWED, |s| Some(s.loss_m_s)),
        OfStudy::number(&STARTS_TURNING, |s| Some(s.hazards.starts_turning_m_s)),
        OfStudy::number(&FREE_DRAGS_LESS, |s| s.free_drags_less_from_m_s),
        OfStudy::number(&CONTROLLER_LIMIT, |s| s.hazards.controller_limit_v),
        OfStudy::number(&CONTROLLER_LIMIT_AT, |s| s.hazards.controller_limit_at_m_s),
        OfStudy::band(&STOPPING_FROM, |s| Some(s.stopping?.from_m_s)),
    ])],
    rows: itself,
    tone: plain,
};

static SHAFT_SPEED: Figure = Figure {
    key: "shaft_speed",
    head: "shaft",
    label: "propeller shaft speed",
    quantity: Quantity::RotationalSpeed,
    origin: Origin::Of("free_drag"),
};
static STORED_HOUR: Figure = Figure {
    key: "stored_charge_hour",
    head: "charge\nan hour",
    label: "charge that stays in the cells each hour",
    quantity: Quantity::Charge,
    origin: Origin::Of("stored_charge_day"),
};
static STORED_ENERGY_DAY: Figure = Figure {
    key: "stored_energy_day",
    head: "energy\na day",
    label: "energy that stays in the cells each day",
    quantity: Quantity::Energy,
    origin: Origin::Of("stored_power"),
};
static FREE_LOSS: Figure = Figure {
    key: "free_speed_lost",
    head: "lost free",
    label: "speed that the freely turning propeller costs",
    quantity: Quantity::Speed,
    origin: Origin::Of("held_speed_lost"),
};
static GREATEST_LOSS: Figure = Figure {
    key: "greatest_speed_lost",
    head: "lost",
    label: "speed lost while the most goes into the cells",
    quantity: Quantity::Speed,
    origin: Origin::Of("held_speed_lost"),
};
static IS_CONTINUED: Figure = Figure::plain(
    "speed_lost_is_continued",
    "continued",
    "the faster speed lies beyond what is known of the hull",
    Origin::Of("held_speed_lost"),
);

type OfStudy = Column<SailStudy>;
type OfRow = Column<SailRow>;
type OfMode = Column<ModeRow>;
type OfSetting = Column<Setting>;

const HOUR_S: f64 = 3600.0;
const DAY_S: f64 = 86_400.0;

/// True when the shaft turns where it is left free.
fn turns(row: &SailRow) -> bool {
    row.mode(Mode::Free).is_some_and(|free| free.state.shaft_rev_s > 0.0)
}

/// Rows at whole knots, and the one that the finding tells of: a chart has more.
fn whole_knots(study: &SailStudy, see: &mut dyn FnMut(&SailRow)) {
    const KNOT_M_S: f64 = wakewright_units::factors::KNOT_M_S;
    for row in &study.rows {
        let knots = row.speed_m_s / KNOT_M_S;
        if (knots - knots.round()).abs() < 1e-6 {
            see(row);
        }
    }
}

static REFUSAL: Figure =
    Figure::plain("refusal", "why not", "why nothing comes back", Origin::Of("stored_power"));

static SPEEDS: Sheet<SailStudy, SailRow> = Sheet {
    key: "speeds",
    title: "The speeds that were asked",
    form: Form::FileTable,
    columns: &[&List(&[
        OfRow::number(&SPEED, |r| Some(r.speed_m_s)),
        OfRow::number(&VOLTS_CUT_OFF, |r| r.volts_without_bank_v),
        OfRow::text(&REFUSAL, |r| r.refusal.map(|refusal| refusal.words().to_owned())),
    ])],
    rows: |study, see| study.rows.iter().for_each(see),
    tone: plain,
};

static COST: Sheet<SailStudy, SailRow> = Sheet {
    key: "cost",
    title: "What the propeller costs",
    form: Form::Table,
    columns: &[&List(&[
        OfRow::number(&SPEED, |r| Some(r.speed_m_s)).decimals(0),
        OfRow::band(&HELD_DRAG, |r| Some(r.mode(Mode::Held)?.drag_n)).head("held").decimals(0),
        OfRow::value(&HELD_LOSS, |r| Some(r.mode(Mode::Held)?.speed_lost_m_s)).head("lost").decimals(2),
        OfRow::band(&FREE_DRAG, |r| Some(r.mode(Mode::Free)?.drag_n)).head("free").decimals(0),
        OfRow::value(&FREE_LOSS, |r| Some(r.mode(Mode::Free)?.speed_lost_m_s)).head("lost").decimals(2),
        OfRow::value(&SHAFT_SPEED, |r| Some(r.mode(Mode::Free).filter(|_| turns(r))?.shaft_rev_s)),
        OfRow::band(&CANCELLING_POWER, |r| Some(r.mode(Mode::WithoutDrag)?.bank_w))
            .head("cancel\nit")
            .decimals(0)
            .unit("W"),
    ])],
    rows: whole_knots,
    tone: plain,
};

static RETURN: Sheet<SailStudy, SailRow> = Sheet {
    key: "return",
    title: "What comes back",
    form: Form::Table,
    columns: &[&List(&[
        OfRow::number(&SPEED, |r| Some(r.speed_m_s)).decimals(0),
        OfRow::band(&STORED_POWER, |r| Some(r.mode(Mode::WithinLoss)?.stored_w))
            .head("within\nloss")
            .decimals(0)
            .unit("W"),
        OfRow::number(&STORED_HOUR, |r| Some(r.mode(Mode::WithinLoss)?.state.stored_a * HOUR_S)).in_files(),
        OfRow::number(&STORED_ENERGY_DAY, |r| Some(r.mode(Mode::WithinLoss)?.state.stored_w * DAY_S))
            .decimals(1)
            .in_files(),
        OfRow::number(&STORED_DAY, |r| Some(r.mode(Mode::WithinLoss)?.state.stored_a * DAY_S))
            .head("charge\na day"),
        OfRow::band(&GREATEST_POWER, |r| Some(r.mode(Mode::Greatest)?.stored_w))
            .head("at most")
            .decimals(0)
            .unit("W"),
        OfRow::value(&GREATEST_LOSS, |r| Some(r.mode(Mode::Greatest)?.speed_lost_m_s)).decimals(2),
        OfRow::number(&VOLTS_CUT_OFF, |r| r.volts_without_bank_v).head("if cut\noff").decimals(0),
    ])],
    rows: |study, see| {
        if !study.is_stowed {
            whole_knots(study, see);
        }
    },
    tone: plain,
};

/// A mode at one speed.
struct ModeRow {
    speed_m_s: f64,
    mode: Mode,
    found: ModeIntervals,
}

static MODE: Figure = Figure::plain("mode", "mode", "way of sailing with the propeller", Origin::Asked);
static DRAG: Figure = Figure {
    key: "drag",
    head: "drag",
    label: "drag of the propeller",
    quantity: Quantity::Force,
    origin: Origin::Of("held_drag"),
};
static SPEED_LOST: Figure = Figure {
    key: "speed_lost",
    head: "lost",
    label: "how much faster she would sail without the propeller",
    quantity: Quantity::Speed,
    origin: Origin::Of("held_speed_lost"),
};
static BANK_POWER: Figure = Figure {
    key: "bank_power",
    head: "from the\nbank",
    label: "power out of the bank, negative into it",
    quantity: Quantity::Power,
    origin: Origin::Of("cancelling_power"),
};
static STORED: Figure = Figure {
    key: "stored",
    head: "into the\ncells",
    label: "power that stays in the cells",
    quantity: Quantity::Power,
    origin: Origin::Of("stored_power"),
};

fn mode_word(mode: Mode) -> Word {
    let (key, words) = match mode {
        Mode::Held => ("held", "shaft held"),
        Mode::Free => ("free", "turning freely"),
        Mode::WithoutDrag => ("without_drag", "turned without drag"),
        Mode::WithinLoss => ("within_loss", "charging within the loss"),
        Mode::Greatest => ("greatest", "charging the most"),
    };
    Word { key, words }
}

static MODES: Sheet<SailStudy, ModeRow> = Sheet {
    key: "modes",
    title: "Each way of sailing with the propeller at each speed",
    form: Form::FileTable,
    columns: &[&List(&[
        OfMode::number(&SPEED, |r| Some(r.speed_m_s)),
        OfMode::word(&MODE, |r| Some(mode_word(r.mode))),
        OfMode::band(&SHAFT_SPEED, |r| Some(r.found.shaft_rev_s)),
        OfMode::band(&DRAG, |r| Some(r.found.drag_n)),
        OfMode::band(&SPEED_LOST, |r| Some(r.found.speed_lost_m_s)),
        OfMode::flag(&IS_CONTINUED, |r| Some(r.found.state.is_loss_continued)),
        OfMode::band(&BANK_POWER, |r| Some(r.found.bank_w)),
        OfMode::band(&STORED, |r| Some(r.found.stored_w)),
        OfMode::number(&STORED_HOUR, |r| Some(r.found.state.stored_a * HOUR_S)),
        OfMode::number(&STORED_ENERGY_DAY, |r| Some(r.found.state.stored_w * DAY_S)),
    ])],
    rows: |study, see| {
        for row in &study.rows {
            for mode in Mode::ALL {
                if let Some(found) = row.mode(mode) {
                    see(&ModeRow { speed_m_s: row.speed_m_s, mode, found: *found });
                }
            }
        }
    },
    tone: plain,
};

/// One setting of the braking at one speed.
struct Setting {
    speed_m_s: f64,
    state: ModeState,
}

static BRAKE_TORQUE: Figure = Figure {
    key: "brake_torque",
    head: "motor\nbrakes",
    label: "braking torque at the motor's shaft",
    quantity: Quantity::Torque,
    origin: Origin::Of("stored_power"),
};

/// What is told of a setting.
static OF_SETTING: List<Setting> = List(&[
    OfSetting::number(&SPEED, |r| Some(r.speed_m_s)).in_files(),
    OfSetting::number(&BRAKE_TORQUE, |r| Some(r.state.brake_torque_n_m)).decimals(2),
    OfSetting::number(&SHAFT_SPEED, |r| Some(r.state.shaft_rev_s)),
    OfSetting::number(&DRAG, |r| Some(r.state.drag_n)),
    OfSetting::number(&SPEED_LOST, |r| Some(r.state.speed_lost_m_s)).decimals(2),
    OfSetting::number(&BANK_POWER, |r| Some(r.state.bank_w)),
    OfSetting::number(&STORED, |r| Some(r.state.stored_w)),
]);

fn settings(study: &SailStudy, speed_m_s: f64, count: usize, see: &mut dyn FnMut(&Setting)) {
    for state in study.prepared.braking_range(speed_m_s, count) {
        see(&Setting { speed_m_s, state });
    }
}

static BRAKING: Sheet<SailStudy, Setting> = Sheet {
    key: "braking",
    title: "Braking harder and harder",
    form: Form::Table,
    columns: &[&OF_SETTING],
    rows: |study, see| {
        const SHOWN: usize = 7;
        if let Some(row) = study.finding_row() {
            settings(study, row.speed_m_s, SHOWN, see);
        }
    },
    tone: plain,
};

static SETTINGS: Sheet<SailStudy, Setting> = Sheet {
    key: "settings",
    title: "Settings from free turning to the greatest braking, at each speed",
    form: Form::FileTable,
    columns: &[&OF_SETTING],
    rows: |study, see| {
        const SETTINGS: usize = 13;
        for row in &study.rows {
            settings(study, row.speed_m_s, SETTINGS, see);
        }
    },
    tone: plain,
};
