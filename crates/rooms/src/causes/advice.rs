//! What is asked for, what settles it, and what else a cause may be, in words. Not for: what was found (`finding`).

use wakewright_core::causes::{Cause, Diagnosis, Hypothesis, Missing};
use wakewright_core::fouling::FoulingCondition;
use wakewright_core::propeller::Pattern;

/// What may be wrong where nothing fits.
pub(super) const WHAT_MAY_BE_WRONG: &str = "What may be wrong: walls or a bottom close by (a canal, shallow water), wind, sea or a stream that \
     nobody noted, a belt that slips, something caught in the propeller, an instrument (log, meter, volts, counter) or its unit, sails that drew, a joint that works loose, or a run \
     written down wrongly. Look at the run list, and run again in open water and a calm. What stands below is not to be used, and \
     nothing is offered for adoption.";
/// What is asked for before a cause is named, and why.
pub(super) fn missing_words(missing: Missing) -> [&'static str; 2] {
    match missing {
        Missing::Turns => [
            "how fast motor or shaft turned",
            "Count them, by the display or a mark and a light: without turns another propeller, another reduction and a limit look alike.",
        ],
        Missing::OtherSpeed => [
            "whether the log shows true",
            "Read the speed over ground by satellite, both ways: these runs cannot tell a log that shows too little from a \
             hull that drags.",
        ],
        Missing::Volts => [
            "what volts the bank has under load",
            "Read them with the throttle fully open: they tell bank, controller, motor and belt apart.",
        ],
        Missing::OwnVolts => [
            "what volts her own bank has",
            "Those that were written down lie far outside what her bank can have: a house battery's, or one of several in a row. They \
             and the power made of them are left out.",
        ],
        Missing::Charge => [
            "how full her bank was",
            "Note the charge, or the volts at rest before the runs: a bank that is nearly empty, or cold, sags as one that is tired.",
        ],
        Missing::Blades => [
            "how the blades look",
            "Look at them, or feel them by hand: growth there drags and loads the drive like much else.",
        ],
        Missing::Bottom => [
            "how the bottom looks",
            "Look at it, or scrub it and run again: growth that nobody has seen drags like much else.",
        ],
        Missing::Wind => {
            ["what wind there was", "Note the wind, or run again in a calm: it drags like a foul bottom."]
        }
        Missing::Depth => [
            "how deep the water was",
            "Note the depth, or run again in deep, open water: banks or a bottom close by drag like a foul hull.",
        ],
    }
}

/// What settles whether runs were made or read otherwise than written.
pub(super) fn settled_by(what: Hypothesis) -> &'static str {
    match what {
        Hypothesis::OneDrive => {
            "Say which ran, if so: put one running into her document for that day; if both ran, say that (motor.running) and ask again."
        }
        Hypothesis::OtherTurns => {
            "Everything else fits with the reduction between them. Look what the counter counts, and write the turns into the other \
             column."
        }
        Hypothesis::KilometresRead | Hypothesis::MilesRead | Hypothesis::MetresRead => {
            "Everything else fits with that unit. Look what the instrument shows, and write the unit behind the speeds."
        }
        Hypothesis::MotorAmps => {
            "They are more than the bank's at every setting but the lever fully open. See which amps the display calls so, and read those \
             of the bank."
        }
        Hypothesis::OtherLoads => {
            "Everything else fits with one power more at every setting. Read what is drawn with the lever at neutral, and note it, or \
             switch it off and run again."
        }
        _ => {
            "Everything else fits with the number of her packs between them. Add the amps of all packs, or read them where all flow \
             together."
        }
    }
}

/// What else the likeliest cause may be, where its name says less than it covers.
pub(super) fn what_it_covers(cause: Cause, diagnosis: &Diagnosis) -> Option<&'static str> {
    let problem = &diagnosis.problem;
    let bottom = problem.epochs[problem.now()].observed.bottom;
    match cause {
        Cause::Hull => Some(
            "These runs cannot tell it from stores or people aboard, something in tow, a rope round the shaft, or a bottom that nobody \
             looked at.",
        ),
        Cause::Propeller if problem.spec.boat.propeller.pattern == Pattern::Folding => Some(
            "See first whether each blade opens, and opens fully: one that does not reads as another pitch.",
        ),
        Cause::Unexplained
            if problem.spec.boat.towed.is_some()
                && bottom.is_some_and(|bottom| bottom >= FoulingCondition::HeavySlime) =>
        {
            Some(
                "Her towing measurements hold the growth of their own day: what was seen on her now may well be it.",
            )
        }
        _ => None,
    }
}
