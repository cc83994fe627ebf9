//! The program: the command line, and the page that it serves. Exit codes: 0 done, 1 a check failed or there
//! is no answer, 2 bad input.

use std::process::ExitCode;

use wakewright_cli::ServeWish;
use wakewright_rooms::ROOMS;
use wakewright_web::Wish;

fn main() -> ExitCode {
    wakewright_cli::run(&ROOMS, |ServeWish { port, is_shared, address, has_colour }, announce| {
        wakewright_web::run(&ROOMS, Wish { port, is_shared, address }, has_colour, |text| announce(text))
            .map_err(|error| error.to_string())
    })
}
