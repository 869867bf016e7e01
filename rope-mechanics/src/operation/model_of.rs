//! From a site to the numbers of its rig.

use super::model::{
    BelayValues, HaulValues, LoadValues, Model, ModelError, RedirectAt, RigValues, TrackValues,
};
use super::plan::{SiteError, SitePlan};
use super::site::{Site, TackleKind};
use crate::quantity::Ratio;
use crate::sheave::Turn;
use crate::tackle::UsualRatio;
use alloc::format;
use alloc::string::ToString;
use arrayvec::ArrayVec;

fn sheave(key: &str, efficiency: Ratio) -> Result<Turn, SiteError> {
    Turn::sheave(efficiency).map_err(|why| SiteError::at(key, why))
}

impl Site {
    /// The model of this site's rig, its defaults filled in.
    ///
    /// # Errors
    /// As [`solve`](super::solve) for a value out of range.
    pub fn model(&self) -> Result<Model<'_>, SiteError> {
        model(self, &SitePlan::new(self)?)
    }
}

/// The numbers of a site's rig, its defaults filled in.
fn values<'g>(site: &'g Site, plan: &SitePlan) -> Result<RigValues<'g>, SiteError> {
    let haul_head_turn = sheave("haul.head_efficiency", plan.haul_head_efficiency)?;
    let redirect_turn = sheave("track.redirect_efficiency", plan.redirect_efficiency)?;
    let mut redirects = ArrayVec::new();
    for (i, (at, efficiency)) in plan.haul_redirects.iter().enumerate() {
        let turn = sheave(&format!("haul.redirects[{i}].efficiency"), *efficiency)?;
        redirects.push(RedirectAt::new(*at, turn));
    }
    let load = &site.load;
    Ok(RigValues {
        ground: &site.ground,
        base: plan.base,
        head_height: site.frame.height.value(),
        far: plan.far,
        track: TrackValues {
            rope: plan.track,
            stretch_behind: plan.stretch_behind,
            capstan: site.capstan.at,
            redirect: RedirectAt::new(site.track.redirect, redirect_turn),
            head_turn: sheave("track.head_efficiency", plan.track_head_efficiency)?,
            far_turn: sheave("far_anchor.efficiency", plan.far_efficiency)?,
            cell_anchor: site.track.cell_anchor,
        },
        haul: HaulValues {
            rope: plan.haul,
            head_turn: haul_head_turn,
            redirects,
            tackle: match site.haul.tackle {
                TackleKind::Straight => UsualRatio::OneToOne,
                TackleKind::TwoToOne => UsualRatio::TwoToOne,
                TackleKind::ThreeToOne => UsualRatio::ThreeToOne,
            },
            tackle_turn: sheave("haul.tackle_efficiency", plan.tackle_efficiency)?,
            winch: site.haul.winch,
        },
        belay: plan.belay.as_ref().zip(site.belay.as_ref()).map(|(plan, site)| BelayValues {
            rope: plan.rope,
            // It runs over the head as the haul rope does.
            head_turn: haul_head_turn,
            device: site.device,
            slack: site.slack,
        }),
        load: LoadValues {
            carriage: load.carriage.value(),
            litter: plan.load - load.carriage.value(),
            hang: load.hang.value(),
            ground_friction: plan.ground_friction,
            wheel_friction: plan.wheel_friction,
        },
        feet: site.frame.feet.iter().copied().collect(),
        guys: site.frame.guys.iter().copied().collect(),
        frame: plan.frame.clone(),
    })
}

/// The model of a site's rig.
pub(crate) fn model<'g>(site: &'g Site, plan: &SitePlan) -> Result<Model<'g>, SiteError> {
    Model::new(values(site, plan)?).map_err(|why| at_fault(site, why))
}

/// What is wrong with a model, by the key of the site file.
fn at_fault(site: &Site, why: ModelError) -> SiteError {
    match why {
        ModelError::Geometry(why) => SiteError::at("ground", why),
        ModelError::TrackRope(why) => SiteError::at("track.rope", why),
        ModelError::TrackPlaces(why) => {
            SiteError::new("track (redirect, cell_anchor) and capstan.at", why.to_string())
        }
        ModelError::Load(why) => SiteError::at("load", why),
        ModelError::Foot { index, why } => SiteError::at(format!("frame.feet[{index}]"), why),
        ModelError::Guy { index, why } => SiteError::at(format!("frame.guys[{index}]"), why),
        ModelError::Frame(why) => SiteError::new("frame.feet or frame.guys", why.to_string()),
        ModelError::HaulRedirect { index, .. } => {
            // The last stretch of rope is named by where it begins.
            let index = index.min(site.haul.redirects.len().saturating_sub(1));
            SiteError::new(
                format!("haul.redirects[{index}].at"),
                "stands where the haul rope already is: move it, or leave it out",
            )
        }
        ModelError::Tackle(why) => SiteError::new("haul.tackle", why.to_string()),
        ModelError::Belay(why) => SiteError::at("belay", why),
    }
}
