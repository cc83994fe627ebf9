//! `serve`: the page, on this computer or for the devices on the boat's network.

use std::io::IsTerminal;

use super::{Done, Failure, output};
use clap::Args;

/// Arguments of `serve`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright serve\n  wakewright serve --share\n\nThe page answers on this computer alone \
    unless it is shared; then each other device has to show the code once. Ctrl-C ends it; nothing typed is lost."
)]
pub struct ServeArgs {
    /// Port to serve on; 0 takes any that is free (usual: 8321 if free)
    #[arg(long)]
    port: Option<u16>,
    /// Let other devices on the boat's own network in, with a code
    #[arg(long)]
    share: bool,
}

/// What serves the page: which port, whether for other devices too, whether in colour, and where to say
/// that it is ready. It returns when it is stopped, or says why it cannot serve.
pub type Serve = fn(Option<u16>, bool, bool, &mut dyn FnMut(&str)) -> Result<(), String>;

/// Runs the command.
pub fn run(args: &ServeArgs, serve: Serve) -> Done {
    let mut announce = |text: &str| {
        // When nobody reads what is said here, the page works all the same.
        let _ = output::write(text);
    };
    serve(args.port, args.share, std::io::stdout().is_terminal(), &mut announce)
        .map(|()| 0)
        .map_err(|error| Failure::input(format!("{error}\n")))
}
