//! `serve`: the page, on this computer or for the devices on the boat's network.

use std::io::IsTerminal;
use std::net::IpAddr;

use super::{Done, Failure, output};
use clap::Args;

/// Arguments of `serve`.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  wakewright serve\n  wakewright serve --share\n  wakewright serve --share --address 192.168.8.100\n\nThe page answers on this computer alone \
    unless it is shared; then each other device has to show the code once. Ctrl-C ends it; nothing typed is lost."
)]
pub struct ServeArgs {
    /// Port to serve on; 0 takes any that is free (usual: 8321 if free)
    #[arg(long)]
    port: Option<u16>,
    /// Let other devices on the boat's own network in, with a code
    #[arg(long)]
    share: bool,
    /// Share on this address of this computer (with --share; needed when it is on several networks)
    #[arg(long, value_name = "ADDRESS", requires = "share")]
    address: Option<IpAddr>,
}

/// What is asked of whoever serves the page.
#[derive(Debug, Clone, Copy)]
pub struct ServeWish {
    /// This port and no other; 0 for any that is free.
    pub port: Option<u16>,
    /// Also for other devices on the boat's network.
    pub is_shared: bool,
    /// On this address of this computer.
    pub address: Option<IpAddr>,
    /// What is said may have colour.
    pub has_colour: bool,
}

/// What serves the page as wished, with where to say that it is ready. It returns when it is stopped, or says
/// why it cannot serve.
pub type Serve = fn(ServeWish, &mut dyn FnMut(&str)) -> Result<(), String>;

/// Runs the command.
pub fn run(args: &ServeArgs, serve: Serve) -> Done {
    let mut announce = |text: &str| {
        // When nobody reads what is said here, the page works all the same.
        let _ = output::write(text);
    };
    let wish = ServeWish {
        port: args.port,
        is_shared: args.share,
        address: args.address,
        has_colour: std::io::stdout().is_terminal(),
    };
    serve(wish, &mut announce).map(|()| 0).map_err(|error| Failure::input(format!("{error}\n")))
}
