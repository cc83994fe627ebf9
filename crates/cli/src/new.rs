//! `new`: a commented document to start from, from flags or a few questions.

use std::io::{BufRead, IsTerminal};
use std::path::Path;

use clap::Args;
use wakewright_records::boat::{BoatDocument, FieldKind, Severity, field_named, new_document};

use wakewright_rooms::first_questions::QUESTIONS;

use super::{Done, Failure, output};
use wakewright_rooms::boats::unknown_field;

/// Arguments of `new`.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  wakewright new myboat.toml\n  wakewright new myboat.toml --set boat.name=\"Dipper\" \
    --set hull.displacement=\"5.4 t\"\n\nIn a terminal it asks the few questions that matter most; an empty answer leaves the \
    field for later."
)]
pub struct NewArgs {
    /// Where to write it; never overwrites
    #[arg(value_name = "FILE")]
    file: String,
    /// Fill in a field, for example hull.draught="1.7 m"
    #[arg(long = "set", value_name = "FIELD=VALUE")]
    set: Vec<String>,
    /// Ask nothing even in a terminal
    #[arg(long)]
    no_questions: bool,
}

/// Runs the command.
pub fn run(args: &NewArgs) -> Done {
    if std::path::Path::new(&args.file).exists() {
        return Err(Failure::input(format!(
            "{}: there is such a file already; choose another name\n",
            args.file
        )));
    }
    let mut answers: Vec<(String, String)> = Vec::new();
    for change in &args.set {
        let Some((field, value)) = change.split_once('=') else {
            return Err(Failure::input(format!(
                "--set {change}: write field=value, for example hull.draught=\"1.5 m\"\n"
            )));
        };
        if let Some(advice) = unknown_field(field.trim()) {
            return Err(Failure::input(format!("--set {change}: {advice}\n")));
        }
        for (field, text) in as_typed(field.trim(), value) {
            if let Some(wrong) = what_is_wrong(&field, &text) {
                return Err(Failure::input(format!("--set {change}: {wrong}\n")));
            }
            if text != value.trim() {
                output::complain(&format!("--set {change}: read as {field} = {text}\n"));
            }
            answers.push((field, text));
        }
    }
    if !args.no_questions && args.set.is_empty() && std::io::stdin().is_terminal() {
        ask(&mut answers)?;
    }
    let borrowed: Vec<(&str, &str)> = answers.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
    let text = new_document(&borrowed);
    output::write_file(Path::new(&args.file), &text, false, "no option")?;
    output::write(&format!(
        "Wrote {file}: every field with its help; fill in what is empty.\nThen: wakewright check {file}\n",
        file = args.file
    ))
}

fn ask(answers: &mut Vec<(String, String)>) -> Result<(), Failure> {
    let stdin = std::io::stdin();
    output::write("An empty answer leaves the field for later. Write units: 12 in, 5.4 t, 27 ft 6 in.\n\n")?;
    for key in QUESTIONS {
        let Some(field) = field_named(key) else { continue };
        let hint = match field.kind {
            FieldKind::Choice(choices) => choices.iter().map(|c| c.word).collect::<Vec<_>>().join(" | "),
            _ => format!("for example {}", field.example),
        };
        loop {
            output::write(&format!("{} ({hint}): ", field.label))?;
            let mut line = String::new();
            let count = stdin.lock().read_line(&mut line);
            let answer = line.trim();
            match count {
                Ok(0) => return Ok(()),
                Ok(_) if answer.is_empty() => break,
                Ok(_) => {
                    let read = as_typed(key, answer);
                    if let Some(wrong) = read.iter().find_map(|(field, text)| what_is_wrong(field, text)) {
                        output::write(&format!("  {wrong}\n"))?;
                        continue;
                    }
                    if let [(_, text)] = read.as_slice()
                        && text != answer
                    {
                        output::write(&format!("  {text}\n"))?;
                    }
                    answers.extend(read);
                    break;
                }
                Err(error) => return Err(Failure::input(format!("standard input: {error}\n"))),
            }
        }
    }
    Ok(())
}

/// The lines that `answer` to the field at `address` stands for, nothing else being written yet.
fn as_typed(address: &str, answer: &str) -> Vec<(String, String)> {
    match BoatDocument::parse_lenient("") {
        (Some(empty), _) => empty.as_typed(address, answer),
        (None, _) => vec![(address.to_owned(), answer.trim().to_owned())],
    }
}

/// What is wrong with `answer` by itself; `None` where it can be written down.
fn what_is_wrong(address: &str, answer: &str) -> Option<String> {
    let (_, faults) = BoatDocument::parse_lenient(&new_document(&[(address, answer)]));
    let wrong = faults.iter().find(|fault| fault.field == address && fault.severity == Severity::Error)?;
    Some(format!("{}. {}", wrong.problem, wrong.advice))
}

#[cfg(test)]
mod tests {
    use wakewright_records::boat::build_spec;

    use super::*;

    /// Whoever answers every question has a boat that can be computed.
    #[test]
    fn the_questions_are_enough() {
        let answers: Vec<(&str, &str)> =
            QUESTIONS.iter().map(|key| (*key, field_named(key).unwrap().example)).collect();
        for (address, answer) in &answers {
            assert_eq!(what_is_wrong(address, answer), None, "{address}");
        }
        let document = BoatDocument::parse(&new_document(&answers)).unwrap();
        build_spec(&document).unwrap();
    }

    #[test]
    fn an_answer_that_cannot_be_is_refused() {
        for (address, answer) in
            [("hull.displacement", "14x10"), ("hull.kind", "28 feet"), ("propeller.blades", "two")]
        {
            assert!(what_is_wrong(address, answer).is_some(), "{address}");
        }
    }
}
