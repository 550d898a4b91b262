//! Connections of browsers: taken, kept within bounds, and ended.
//!
//! Who takes longer than the patience of the server for a request, or for the next one, is not waited for. There are
//! [`MOST`] connections at a time; beyond that the oldest that has not shown the cookie makes room.

use std::io;
use std::pin::pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Weak};
use std::time::Duration;

use axum::Router;
use axum::body::{Body, to_bytes};
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::middleware::Next;
use axum::response::Response;
use hyper::server::conn::http1;
use hyper::service::{Service as _, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::Notify;

use super::app::{App, Follow, ended};
use super::pages;
use super::reply;
use crate::bench::words;

/// Connections at a time: a window has three at most, and a process may have no more than 256 files open on some systems.
const MOST: usize = 200;
/// Before connections are taken again when there are no descriptors left.
const BREATH: Duration = Duration::from_millis(50);

/// A connection, for as long as it is open.
#[derive(Default)]
pub struct Connection {
    /// A request has come.
    asked: AtomicBool,
    known: AtomicBool,
    end: Notify,
}

impl Connection {
    /// Its browser has shown the cookie.
    pub fn is_known(&self) {
        self.known.store(true, Ordering::Relaxed);
    }
}

/// Those that are open, the oldest first.
#[derive(Default)]
struct Open(Vec<Weak<Connection>>);

impl Open {
    /// A place for one more; none where all are taken by browsers that belong here.
    fn place(&mut self) -> Option<Arc<Connection>> {
        self.0.retain(|connection| connection.strong_count() > 0);
        if self.0.len() >= MOST && !self.end_a_stranger() {
            return None;
        }
        let connection = Arc::default();
        self.0.push(Arc::downgrade(&connection));
        Some(connection)
    }

    /// Ends the oldest connection that has not shown the cookie; false where there is none.
    fn end_a_stranger(&mut self) -> bool {
        let stranger = |connection: &Weak<Connection>| {
            connection
                .upgrade()
                .is_some_and(|connection| !connection.known.load(Ordering::Relaxed))
        };
        let Some(oldest) = self.0.iter().position(stranger) else {
            return false;
        };
        if let Some(connection) = self.0.remove(oldest).upgrade() {
            connection.end.notify_one();
        }
        true
    }
}

/// Takes connections until the bench ends.
pub async fn serve(listener: TcpListener, routes: Router, app: &App, patience: Duration) {
    let mut open = Open::default();
    let mut follow = app.follow();
    let mut server = http1::Builder::new();
    server
        .timer(TokioTimer::new())
        .header_read_timeout(patience);
    loop {
        let stream = tokio::select! {
            () = ended(&mut follow) => return,
            accepted = listener.accept() => accepted,
        };
        match stream {
            Ok((stream, _)) => {
                // An answer is small and must not wait for a packet to fill.
                let _ = stream.set_nodelay(true);
                if let Some(connection) = open.place() {
                    let served = converse(
                        server.clone(),
                        stream,
                        routes.clone(),
                        connection,
                        app.follow(),
                    );
                    tokio::spawn(served);
                }
            }
            Err(error) => {
                if !is_of_the_other_side(&error) {
                    open.end_a_stranger();
                    tokio::time::sleep(BREATH).await;
                }
            }
        }
    }
}

/// The other side has gone before it was taken.
fn is_of_the_other_side(error: &io::Error) -> bool {
    use io::ErrorKind::{ConnectionAborted, ConnectionRefused, ConnectionReset};
    matches!(
        error.kind(),
        ConnectionAborted | ConnectionRefused | ConnectionReset
    )
}

/// One connection, request by request. When the bench ends, the request that is in work is still answered.
async fn converse(
    server: http1::Builder,
    stream: TcpStream,
    routes: Router,
    connection: Arc<Connection>,
    mut follow: Follow,
) {
    let pages = TowerToHyperService::new(routes);
    let own = Arc::clone(&connection);
    let service = service_fn(move |mut request: hyper::Request<hyper::body::Incoming>| {
        own.asked.store(true, Ordering::Relaxed);
        request.extensions_mut().insert(Arc::clone(&own));
        pages.call(request)
    });
    let mut serving = pin!(
        server
            .serve_connection(TokioIo::new(stream), service)
            .with_upgrades()
    );
    tokio::select! {
        _ = serving.as_mut() => return,
        () = connection.end.notified() => return,
        () = ended(&mut follow) => serving.as_mut().graceful_shutdown(),
    }
    // Nothing is in work where nothing was asked.
    if connection.asked.load(Ordering::Relaxed) {
        let _ = serving.await;
    }
}

/// How long the server waits for what is sent with a request, and how many bytes it takes at an address.
#[derive(Clone, Copy)]
pub struct Taken {
    pub patience: Duration,
    pub longest: fn(&str) -> usize,
}

/// Reads what is sent with a request before anything is done with it, for as long as the server has patience.
pub async fn whole(State(taken): State<Taken>, request: Request, next: Next) -> Response {
    let longest = (taken.longest)(request.uri().path());
    let (head, body) = request.into_parts();
    let refused = |status, why| reply::page(status, pages::message(words::not_taken(), why));
    match tokio::time::timeout(taken.patience, to_bytes(body, longest)).await {
        Ok(Ok(body)) => next.run(Request::from_parts(head, Body::from(body))).await,
        Ok(Err(_)) => refused(StatusCode::PAYLOAD_TOO_LARGE, words::form_too_long()),
        Err(_) => refused(StatusCode::REQUEST_TIMEOUT, words::form_broken()),
    }
}
