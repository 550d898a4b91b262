//! The bench page: the job of [`bench`](crate::bench) in a browser, on this computer only.
//!
//! HTML is made here and works by plain form posts. A small script of ours sends the same posts without leaving the page
//! and follows `/events`, so that every window on a job is in step. Start reading at [`routes`].

mod access;
mod amend;
pub mod answer;
mod app;
mod certificates;
mod chart;
mod connections;
mod curve;
mod equipment_list;
mod figure;
mod first_articles;
mod form;
mod gauge_room;
mod guard;
mod locale;
mod lot_routes;
mod lots;
mod nonconforming;
pub mod pages;
mod pass;
mod plans;
mod process;
mod read;
mod recalls;
mod register;
mod reply;
mod room_and_checks;
mod routes;
pub mod serial;
mod stations;
mod studies;
mod study_files;
pub mod upload;
mod words;

use std::io::{self, Write as _};
use std::net::Ipv4Addr;
use std::path::Path;
use std::sync::{Arc, Weak};
use std::time::{Duration, Instant};

use tokio::net::TcpListener;

use crate::desk;
use crate::failure::Failure;
use crate::output::Output;
use crate::say;
use app::App;
#[cfg(test)]
pub use app::LineRefused;
use workshop::demonstration;

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
    /// How long a request may take to come, and the next one after it.
    pub patience: Duration,
}

/// How long what is in work may take when the bench ends: longer than the ledger waits for another program.
const GRACE: Duration = Duration::from_secs(6);

/// Serves the bench page until the program is asked to stop. Everything is on the disk at every moment; what is in work
/// then is finished, windows are let go, and the ledger is closed.
pub fn serve(ledger: Option<&Path>, options: Options, output: &mut Output) -> Result<(), Failure> {
    let ledger = desk::open(ledger)?;
    // Kept until the bench ends.
    let _station = ledger.occupy(&desk::station())?;
    if options.demo {
        demonstration::seed(&ledger, &desk::recorder(demonstration::PERSON))?;
    }
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .max_blocking_threads(8)
        .enable_io()
        .enable_time()
        .build()
        .map_err(Failure::outside)?;
    let listener = runtime.block_on(listen(options.port))?;
    let address = listener.local_addr().map_err(Failure::outside)?;
    // Whatever comes in between, the ledger is read first and let go of last outside the runtime: that of a server has one
    // of its own.
    let app = Arc::new(App::new(ledger, address.port())?);
    let served = runtime.block_on(open(&app, listener, options, output));
    runtime.shutdown_timeout(Duration::ZERO);
    served?;
    let in_place = app.ledger.in_place();
    drop(app);
    // A file that is gone holds nothing.
    in_place?;
    output.line(say!("command.bench-closed"))
}

async fn listen(port: u16) -> Result<TcpListener, Failure> {
    let listening = TcpListener::bind((Ipv4Addr::LOCALHOST, port)).await;
    listening
        .map_err(|error| Failure::outside(say!("page.cannot-listen", port = port, error = error)))
}

/// The bench from the first connection to the last.
async fn open(
    app: &Arc<App>,
    listener: TcpListener,
    options: Options,
    output: &mut Output,
) -> Result<(), Failure> {
    let stop = asked_to_stop().map_err(Failure::outside)?;
    for line in options.serial {
        serial::listen(line, Arc::downgrade(app))?;
    }
    tokio::spawn(look_around(Arc::downgrade(app)));
    announce(
        &format!(
            "http://{}:{}{}",
            Ipv4Addr::LOCALHOST,
            app.port,
            app.access.door()
        ),
        options.browser,
        output,
    )?;
    let routes = routes::routes(Arc::clone(app), options.patience);
    let serving = connections::serve(listener, routes, app, options.patience);
    tokio::select! {
        () = serving => {}
        () = stop => app.end(),
    }
    let until = Instant::now() + GRACE;
    while Arc::strong_count(app) > 1 && Instant::now() < until {
        tokio::time::sleep(Duration::from_millis(5)).await;
    }
    Ok(())
}

/// How often is looked whether another station parked a job.
const LOOK_AROUND: Duration = Duration::from_secs(2);

/// Looks for what other stations park, for as long as the bench is there; it does not hold it open.
async fn look_around(app: Weak<App>) {
    loop {
        tokio::time::sleep(LOOK_AROUND).await;
        let Some(app) = app.upgrade() else { return };
        // What goes wrong with the ledger is told at the next answer.
        let _ = tokio::task::spawn_blocking(move || app.look_for_parked()).await;
    }
}

/// Ctrl+C, or what a system sends to end a program. Heeded from the call on.
#[cfg(unix)]
fn asked_to_stop() -> io::Result<impl Future<Output = ()>> {
    use tokio::signal::unix::{SignalKind, signal};
    let mut interrupt = signal(SignalKind::interrupt())?;
    let mut terminate = signal(SignalKind::terminate())?;
    Ok(async move {
        tokio::select! {
            _ = interrupt.recv() => {}
            _ = terminate.recv() => {}
        }
    })
}

#[cfg(not(unix))]
#[expect(clippy::unnecessary_wraps, reason = "as on Unix")]
fn asked_to_stop() -> io::Result<impl Future<Output = ()>> {
    Ok(async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending().await
        }
    })
}

fn announce(page: &str, browser: bool, output: &mut Output) -> Result<(), Failure> {
    output.line(&say!("command.bench-open", address = page))?;
    output.line(say!("command.bench-stop"))?;
    output.finish()?;
    if browser && !open_browser(page) {
        let _ = writeln!(io::stderr(), "{}", say!("command.no-browser"));
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
