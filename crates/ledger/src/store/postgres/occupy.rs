//! One bench a station: an advisory lock of a connection that does nothing else.

use std::sync::Mutex;

use sha2::{Digest as _, Sha256};

use super::connection::Connection;
use super::row::column;
use crate::{Error, Occupied, Result};

/// Takes the lock of a station. The server lets go of it where the connection ends, and asks every few seconds whether the
/// computer at its other end is there still: one that lost its power says nothing.
pub(super) fn occupy(mut connection: Connection, station: &str) -> Result<Occupied> {
    connection.run(
        "SET tcp_keepalives_idle = 10; SET tcp_keepalives_interval = 5; SET tcp_keepalives_count = 3;
         SELECT set_config(name, '0', false) FROM pg_settings WHERE name = 'idle_session_timeout'",
    )?;
    let row = connection.row("SELECT pg_try_advisory_lock($1)", &[&key(station)])?;
    let is_taken = match row {
        Some(row) => connection.sound(column(&row, 0))?,
        None => false,
    };
    if is_taken {
        return Ok(Occupied::by(Mutex::new(connection)));
    }
    Err(Error::StationTaken {
        path: connection.place().path.clone(),
        station: station.to_owned(),
    })
}

/// The lock of a station, apart from those that are held while something is recorded: those have two numbers.
fn key(station: &str) -> i64 {
    let digest = Sha256::digest(format!("midflank station {station}").as_bytes());
    let bytes = digest.iter().take(8);
    bytes.fold(0, |key, byte| key << 8 | i64::from(*byte))
}
