//! The header as data, and the shipped library called by it: structs filled by the paths of their members, functions
//! by their names. What the tests here say of "every member" is of every member that the header declares.

mod call;
mod enumerators;
mod header;
mod members;
mod sizes;

use call::{Case, cases};
use header::{Header, Kind};
