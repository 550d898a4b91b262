//! The bench page: the job of [`bench`](crate::bench) in a browser, on this computer only.
//!
//! HTML is made here and works by plain form posts. A small script of ours sends the same posts without leaving the page
//! and follows `/events`, so that every window on a job is in step. Start reading at [`routes`].

mod answer;
mod app;
mod chart;
mod control;
pub mod demonstration;
mod figure;
mod guard;
mod locale;
mod pages;
mod read;
mod register;
mod reply;
mod routes;
mod serial;
mod words;

use std::io::Write as _;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;

use axum::serve::ListenerExt as _;

use crate::cli::{Failure, Output};
use crate::record;

pub use control::Signal;
pub use serial::Line;

/// How the bench page is started.
pub struct Options {
    /// Port on the loopback; 0 takes a free one.
    pub port: u16,
    /// Whether to open the browser.
    pub browser: bool,
    /// Instruments on serial lines.
    pub serial: Vec<Line>,
    /// Whether to put invented equipment into a ledger that has none.
    pub demo: bool,
}

/// Serves the bench page until the program is stopped. Everything is on the disk at every moment, so stopping is just
/// that.
pub fn serve(ledger: Option<&Path>, options: Options, output: &mut Output) -> Result<(), Failure> {
    let ledger = record::open(ledger)?;
    if options.demo {
        demonstration::seed(&ledger)?;
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(8)
        .enable_io()
        .enable_time()
        .build()
        .map_err(Failure::outside)?;
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind((Ipv4Addr::LOCALHOST, options.port))
            .await
            .map_err(|error| {
                Failure::outside(format!(
                    "cannot listen on 127.0.0.1:{}: {error}; is the bench running already? --port 0 takes a free port",
                    options.port
                ))
            })?;
        let address = listener.local_addr().map_err(Failure::outside)?;
        let app = Arc::new(app::App::new(ledger, address.port())?);
        for line in options.serial {
            serial::listen(line, Arc::clone(&app))?;
        }
        announce(address, options.browser, output)?;
        // An answer is small and must not wait for a packet to fill.
        let listener = listener.tap_io(|stream| {
            let _ = stream.set_nodelay(true);
        });
        axum::serve(listener, routes::routes(app))
            .await
            .map_err(Failure::outside)
    })
}

fn announce(address: SocketAddr, browser: bool, output: &mut Output) -> Result<(), Failure> {
    let page = format!("http://{address}/");
    output.line(&format!("The bench is open at {page}"))?;
    output.line("Stop it with Ctrl+C; the job stays where it is.")?;
    output.finish()?;
    if browser && !open_browser(&page) {
        let _ = writeln!(
            std::io::stderr(),
            "no browser could be opened; open {page} yourself"
        );
    }
    Ok(())
}

/// Asks the desktop to open a page; false where it cannot.
fn open_browser(page: &str) -> bool {
    let (program, arguments): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    std::process::Command::new(program)
        .args(arguments)
        .arg(page)
        .stdin(std::process::Stdio::null())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::null())
        .spawn()
        .is_ok()
}
