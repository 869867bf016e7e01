//! The curves of the report: what each shows, and its limit.

use crate::chart::{Axis, Band, Chart, Curve, Stroke};
use crate::units::Units;
use maud::{Markup, html};
use rope_mechanics::operation::clearance::OutgoingRope;
use rope_mechanics::operation::doubt::{OutputBand, PositionBands};
use rope_mechanics::operation::study::{Position, Study};
use rope_mechanics::quantity::unit::{ampere, degree, foot, kilonewton, meter, newton, percent, pound_force};
use rope_mechanics::quantity::{Force, Length};

/// A quantity of one position in the page's units.
type Value<'a> = &'a dyn Fn(&Position) -> Option<f64>;

struct Curves<'a> {
    study: &'a Study,
    units: Units,
}

impl Curves<'_> {
    fn out(&self, p: &Position) -> f64 {
        self.units.of_length(p.carriage.x - self.study.head.x)
    }

    fn points(&self, value: Value<'_>) -> Vec<(f64, f64)> {
        self.study.positions.iter().filter_map(|p| Some((self.out(p), value(p)?))).collect()
    }

    /// From the lower end of one output to the upper end of another over the doubt on the inputs, at the positions that
    /// were sampled.
    fn doubt(&self, of: &str, [low, high]: [&str; 2], shown: impl Fn(f64) -> f64) -> Option<Band> {
        let doubt = self.study.doubt.as_ref()?;
        let edge = |output: &str, value: fn(&OutputBand) -> Option<f64>| -> Vec<(f64, f64)> {
            let at = |bands: &PositionBands| {
                let p = self.study.positions.get(bands.position)?;
                let band = bands.bands.iter().find(|band| band.output == output)?;
                Some((self.out(p), shown(value(band)?)))
            };
            doubt.positions.iter().filter_map(at).collect()
        };
        let outputs = if low == high { vec![low] } else { vec![low, high] };
        let middle = outputs.into_iter().map(|output| edge(output, |band| band.median)).collect();
        let (low, high) = (edge(low, |band| band.low), edge(high, |band| band.high));
        let name = format!("5, 50, 95 %: {of}");
        (low.len() > 1 && high.len() > 1).then_some(Band { name, low, high, middle, wide: true })
    }

    fn curve(&self, stroke: Stroke, name: &str, value: Value<'_>) -> Curve {
        Curve { stroke, name: name.to_owned(), points: self.points(value) }
    }

    /// How many of the page's units make one of the other system.
    fn other(&self, in_si: f64, in_us: f64) -> f64 {
        if self.units == Units::Si { in_si } else { in_us }
    }

    fn chart(&self, title: &str, y: Axis, curves: Vec<Curve>, lines: Vec<(Stroke, f64, String)>) -> Chart {
        let foot_m = Length::new::<foot>(1.0).get::<meter>();
        let x = Axis {
            low: 0.0,
            high: self.units.of_length(self.study.far.x - self.study.head.x),
            unit: self.units.length_unit(),
            other: Some((self.other(foot_m, 1.0 / foot_m), self.units.other().length_unit())),
        };
        Chart {
            title: title.to_owned(),
            across: "out from the head",
            x,
            y,
            bands: Vec::new(),
            curves,
            lines,
            follows: true,
        }
    }

    /// An axis over all curves, and over those limits that don't flatten them.
    fn axis(
        curves: &[Curve],
        lines: &[(Stroke, f64, String)],
        unit: &'static str,
        other: Option<(f64, &'static str)>,
    ) -> Axis {
        let most = curves.iter().flat_map(|c| &c.points).map(|p| p.1).fold(0.0, f64::max);
        let near = lines.iter().map(|line| line.1).filter(|at| *at <= 2.5 * most);
        let values: Vec<f64> = curves.iter().flat_map(|c| &c.points).map(|p| p.1).chain(near).collect();
        Axis::over(values.into_iter(), unit, other)
    }

    fn forces(&self, title: &str, curves: Vec<Curve>, lines: Vec<(Stroke, f64, String)>) -> Chart {
        let lbf_kn = Force::new::<pound_force>(1.0).get::<kilonewton>();
        let other = (self.other(lbf_kn, 1.0 / lbf_kn), self.units.other().force_unit());
        let y = Self::axis(&curves, &lines, self.units.force_unit(), Some(other));
        self.chart(title, y, curves, lines)
    }

    fn lengths(&self, title: &str, curves: Vec<Curve>, lines: Vec<(Stroke, f64, String)>) -> Chart {
        let foot_m = Length::new::<foot>(1.0).get::<meter>();
        let other = (self.other(foot_m, 1.0 / foot_m), self.units.other().length_unit());
        let y = Self::axis(&curves, &lines, self.units.length_unit(), Some(other));
        self.chart(title, y, curves, lines)
    }

    fn plain(
        &self,
        title: &str,
        unit: &'static str,
        curves: Vec<Curve>,
        lines: Vec<(Stroke, f64, String)>,
    ) -> Chart {
        let y = Self::axis(&curves, &lines, unit, None);
        self.chart(title, y, curves, lines)
    }

    fn shares(&self, title: &str, curve: Curve) -> Chart {
        self.chart(title, Axis { low: 0.0, high: 100.0, unit: "%", other: None }, vec![curve], Vec::new())
    }
}

pub(super) fn draw(study: &Study, units: Units) -> Markup {
    let all = Curves { study, units };
    let limits = &study.limits;
    let force = |f: Force| Some(units.of_force(f));
    let length = |l: Length| Some(units.of_length(l));
    let limit = |at: f64, name: String| (Stroke::Limit, at, name);
    let mut charts = Vec::new();

    let mut reading = all.forces(
        "Load-cell reading",
        vec![
            all.curve(Stroke::Solid, "without friction", &|p| force(p.reading.expected)),
            all.curve(Stroke::Dashed, "what it will show", &|p| force(p.reading_expected.as_ref()?.expected)),
            all.curve(Stroke::Dotted, "most, up, down or at rest", &|p| force(p.greatest_reading())),
        ],
        limits
            .reading
            .map(|f| limit(units.of_force(f), format!("limit {}", units.force_with_unit(f))))
            .into_iter()
            .collect(),
    );
    reading.bands.push(Band {
        name: "what friction leaves, hauling".to_owned(),
        low: all.points(&|p| force(p.reading.low)),
        high: all.points(&|p| force(p.reading.high)),
        middle: Vec::new(),
        wide: false,
    });
    let newtons = |n: f64| units.of_force(Force::new::<newton>(n));
    let metres = |m: f64| units.of_length(Length::new::<meter>(m));
    reading.add_band(all.doubt(
        "least and most that it may show",
        ["least_reading", "greatest_reading"],
        newtons,
    ));
    charts.push(reading);

    let most = limits.litter_height;
    let mut heights = all.lengths(
        "Height above the ground",
        vec![
            all.curve(Stroke::Solid, "litter, hauled", &|p| length(p.litter_height)),
            all.curve(Stroke::Dotted, "litter at its lowest", &|p| length(p.least_litter_height())),
            all.curve(Stroke::Dashed, "carriage", &|p| length(p.carriage_height)),
        ],
        vec![limit(
            units.of_length(most),
            format!("most for the litter {} {}", units.fine(most), units.length_unit()),
        )],
    );
    heights.add_band(all.doubt("litter at its lowest", ["litter_height"; 2], metres));
    heights.add_band(all.doubt("carriage", ["carriage_height"; 2], metres));
    charts.push(heights);

    if let Some(clearances) = &study.clearances {
        let stroke = |rope| match rope {
            OutgoingRope::Track => Stroke::Solid,
            OutgoingRope::Haul => Stroke::Dashed,
            _ => Stroke::Dotted,
        };
        let curves = clearances.ropes.iter().map(|rope| Curve {
            stroke: stroke(rope.rope),
            name: rope.rope.name().to_owned(),
            points: (study.positions.iter().zip(&rope.least))
                .filter_map(|(p, least)| Some((all.out(p), units.of_length((*least)?))))
                .collect(),
        });
        let wanted = clearances.wanted;
        let mut ropes = all.lengths(
            "Each rope above the ground, at its lowest",
            curves.collect(),
            vec![limit(
                units.of_length(wanted),
                format!("wanted {} {}", units.fine(wanted), units.length_unit()),
            )],
        );
        ropes.add_band(all.doubt("track rope", ["track_clearance"; 2], metres));
        charts.push(ropes);
    }

    let mut pulls = vec![
        all.curve(Stroke::Solid, "haul rope at the carriage", &|p| force(p.haul_pull)),
        all.curve(Stroke::Dashed, "at the winch", &|p| force(p.winch_pull)),
    ];
    if study.positions.iter().any(|p| (p.straight_pull - p.winch_pull).value.abs() > 1e-6) {
        pulls.push(all.curve(Stroke::Dotted, "at the winch without the tackle", &|p| force(p.straight_pull)));
    }
    let rated = limits.winch_pull;
    let rated_line = limit(units.of_force(rated), format!("winch rated {}", units.force_with_unit(rated)));
    let mut pull = all.forces("Pull", pulls, vec![rated_line]);
    pull.add_band(all.doubt("haul rope at the carriage", ["haul_pull"; 2], newtons));
    pull.add_band(all.doubt("at the winch", ["winch_pull"; 2], newtons));
    charts.push(pull);

    let mut current = all.plain(
        "Winch current",
        "A",
        vec![all.curve(Stroke::Solid, "current", &|p| Some(p.current.get::<ampere>()))],
        limits
            .current
            .map(|i| limit(i.get::<ampere>(), format!("limit {:.0} A", i.get::<ampere>())))
            .into_iter()
            .collect(),
    );
    current.add_band(all.doubt("current", ["current"; 2], |amperes| amperes));
    charts.push(current);

    let greatest = |forces: &[Force]| forces.iter().copied().reduce(|a, b| if b > a { b } else { a });
    let mut members = vec![all.curve(Stroke::Solid, "most loaded leg, pressed", &|p| {
        greatest(&p.frame.as_ref()?.legs).and_then(force)
    })];
    if !study.guys.is_empty() {
        members.push(all.curve(Stroke::Dashed, "most loaded guy, pulled", &|p| {
            greatest(&p.frame.as_ref()?.guys).and_then(force)
        }));
    }
    let mut members = all.forces("Legs and guys", members, Vec::new());
    members.add_band(all.doubt("most loaded leg", ["force at leg"; 2], newtons));
    members.add_band(all.doubt("most loaded guy", ["force at guy"; 2], newtons));
    charts.push(members);

    let wanted = limits.frame_margin.get::<degree>();
    let mut margin = all.plain(
        "Margin of the frame from tipping",
        "°",
        vec![all.curve(Stroke::Solid, "margin", &|p| Some(p.frame.as_ref()?.margin.get::<degree>()))],
        vec![limit(wanted, format!("least wanted {wanted:.0}°"))],
    );
    margin.add_band(all.doubt("margin", ["frame_margin"; 2], f64::to_degrees));
    charts.push(margin);

    let mut angle = all.plain(
        "Angle between the two parts of the line at the carriage",
        "°",
        vec![all.curve(Stroke::Solid, "angle", &|p| Some(p.interior_angle.get::<degree>()))],
        vec![(Stroke::Divide, 120.0, "120°: from here on a highline".to_owned())],
    );
    angle.add_band(all.doubt("angle", ["interior_angle"; 2], f64::to_degrees));
    charts.push(angle);

    // Against time, without its band, it stands in a part of its own, where the alternatives were asked for.
    if study.alternatives.is_none() || study.doubt.is_some() {
        let left = all.curve(Stroke::Solid, "charge left", &|p| Some(p.battery_charge?.get::<percent>()));
        let mut charge = all.shares("Charge of the winch's battery", left);
        charge.add_band(all.doubt("charge left", ["battery_charge"; 2], |share| 100.0 * share));
        charts.push(charge);
    }

    if study.positions.iter().any(|p| p.ground_share.value > 0.0) {
        let on_ground = all.curve(Stroke::Solid, "on the ground", &|p| Some(p.ground_share.get::<percent>()));
        let mut shares = all.shares("Share of the weight that the ground carries", on_ground);
        shares.add_band(all.doubt("on the ground", ["ground_share"; 2], |share| 100.0 * share));
        charts.push(shares);
    }
    html! {
        p class="hint" {
            "The load travels from the right to the left, from the far anchor to the head. "
            @if study.doubt.is_some() {
                "Outlines: 5, 50 and 95 % over what is not exactly known, of the curve that the key names. "
                "Without a band: the heights of haul and belay rope."
            } @else {
                "No curve has its 5, 50 and 95 %: the site file doesn't ask for them ([doubt])."
            }
        }
        div class="charts" { @for chart in charts { (chart.draw()) } }
    }
}
