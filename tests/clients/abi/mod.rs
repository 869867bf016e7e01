//! The header as data, and the shipped library called by it: structs filled by the paths of their members, functions
//! by their names. What the tests here say of "every member" is of every member that the header declares.
//!
//! Two enumerators in each other's place must be noticed. To see it for any two, as if the library had swapped them:
//! `RMECH_SWAP=RMECH_SURFACE_ICE,RMECH_SURFACE_SNOW cargo test -p rope-checks --test clients abi::` fails.

mod call;
mod enumerators;
pub(crate) mod header;
mod members;
mod outputs;
mod rig;
mod ropes;
mod sizes;
mod steps;

pub(crate) use call::Case;
pub(crate) use call::cases;
use header::{Header, Kind};
