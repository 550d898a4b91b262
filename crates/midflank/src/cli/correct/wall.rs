//! The wall of a tube, measured from inside a bore.

use clap::Args;
use metrology::geometry_errors::{ball_off_centre, flat_in_bore};

use super::{leading, plain};
use crate::document::{Correct, Instead, Why};
use crate::failure::Failure;
use crate::look_up::thread::length;

#[derive(Args)]
pub struct FlatInBore {
    #[arg(long, value_name = "LEN")]
    bore: String,
    #[arg(long, value_name = "LEN")]
    face: String,
}

impl FlatInBore {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, bore) = leading("--bore", &self.bore)?;
        plain(
            unit,
            flat_in_bore(bore / 2.0, length("--face", &self.face)?),
            Why::FlatInBore,
            Instead::SmallerBall,
        )
    }
}

#[derive(Args)]
pub struct BallInBore {
    #[arg(long, value_name = "LEN")]
    bore: String,
    #[arg(long, value_name = "LEN")]
    ball: String,
    #[arg(long, value_name = "LEN", allow_hyphen_values = true)]
    offset: String,
}

impl BallInBore {
    pub fn correct(&self) -> Result<Correct, Failure> {
        let (unit, bore) = leading("--bore", &self.bore)?;
        let ball = length("--ball", &self.ball)?;
        plain(
            unit,
            ball_off_centre(bore / 2.0, ball / 2.0, length("--offset", &self.offset)?),
            Why::BallInBore,
            Instead::SmallestReading,
        )
    }
}
