//! `serve`: the page, on this computer or for the devices on the boat's network.

use std::io::IsTerminal;
use std::net::IpAddr;

use clap::Args;
use wakewright_web_guard::{GuardConfig, Terminal, invitation};

use super::{Done, Failure, output};
use crate::web::{self, Wish};

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

/// Runs the command.
pub fn run(args: &ServeArgs) -> Done {
    let wish = Wish { port: args.port, is_shared: args.share, address: args.address };
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .enable_all()
        .build()
        .map_err(|error| Failure::input(format!("the server cannot start: {error}\n")))?;
    let served = runtime.block_on(web::serve(wish, announce, async {
        // Without a signal to wait for, it runs until it is killed; that loses nothing either.
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    }));
    // Not waiting for open connections: every answer given is on the disk.
    runtime.shutdown_background();
    served.map(|()| 0).map_err(|error| Failure::input(format!("{error}\n")))
}

fn announce(config: &GuardConfig) {
    let address = config.urls().into_iter().next().unwrap_or_default();
    let terminal = if std::io::stdout().is_terminal() { Terminal::Colour } else { Terminal::Plain };
    let shared = invitation(config, terminal).map_or(String::new(), |text| format!("\n{text}"));
    // When nobody reads what is said here, the page works all the same.
    let _ = output::write(&format!("The page is at {address}\nCtrl-C ends it.\n{shared}"));
}
