//! The load on its line, moving one way: held at a place, in the air or on the ground.

use super::lying::Lying;
use super::model::Model;
use super::state::{Balance, Line, StateError, TOUCHING_M};
use crate::carriage::{CarriageError, Held};
use crate::motion::Motion;
use crate::quantity::metres;

/// The load on its line, moving one way: friction at the carriage's wheels and under the litter acts against it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub(super) held: Held,
    pub(super) motion: Motion,
}

impl Way {
    /// The load held at x as if there were no ground: its litter may hang below it.
    pub(super) fn lifted(
        &self,
        model: &Model<'_>,
        x_m: f64,
        nearby: Option<&Balance>,
    ) -> Result<Balance, StateError> {
        let x = metres(x_m);
        let ground_z_m = model.ground_m(x_m).ok_or(StateError::OffGround { x })?;
        let solved = match nearby {
            Some(Balance { line: Line::Loaded(nearby), on_ground: false, .. }) => {
                self.held.at_x_from(x, nearby)
            }
            _ => self.held.at_x(x),
        };
        match solved {
            Ok(state) => model.floating(state, Some(ground_z_m)),
            Err(CarriageError::HaulWouldPush { .. }) => Err(StateError::RollsIn { x }),
            Err(why) => Err(StateError::Carriage { x, why }),
        }
    }

    /// The load held at x; on the ground where the line does not lift it.
    pub(super) fn balance(
        &self,
        model: &Model<'_>,
        x_m: f64,
        nearby: Option<&Balance>,
    ) -> Result<Balance, StateError> {
        match self.lifted(model, x_m, nearby) {
            // Touching, to within what is solved for.
            Ok(floating) if floating.litter_height_m >= -TOUCHING_M => {
                Ok(Balance { litter_height_m: floating.litter_height_m.max(0.0), ..floating })
            }
            Ok(_) => Lying::new(model, self).at_x(x_m),
            // Whether the line can hold it up there decides whether it rolls.
            Err(StateError::RollsIn { x }) => {
                let lying = Lying::new(model, self);
                match lying.at_x(x_m) {
                    Ok(lies) if lies.ground_n > 0.0 => Ok(lies),
                    Err(StateError::LiesDown { .. }) if !lying.is_lifted(x_m) => {
                        Err(StateError::LiesDown { x })
                    }
                    Ok(_) | Err(StateError::LiesDown { .. }) => Err(StateError::RollsIn { x }),
                    Err(why) => Err(why),
                }
            }
            Err(why) => Err(why),
        }
    }
}
