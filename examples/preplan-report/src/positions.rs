//! The positions as a table for spreadsheets: SI, each column named for its unit.

use rope_mechanics::operation::study::Study;
use std::fmt::Write as _;

/// One line for each position, from the far anchor to the head.
pub(crate) fn csv(study: &Study) -> String {
    let mut text = String::from(
        "x_m,z_m,haul_length_m,carriage_height_m,litter_height_m,strand_tension_head_n,strand_tension_far_n,\
         reading_low_n,reading_expected_n,reading_high_n,greatest_track_tension_n,interior_angle_deg,\
         ground_share_percent,drag_n,haul_pull_n,winch_pull_n,straight_pull_n,current_a,voltage_v,\
         load_speed_m_per_s,power_w,head_force_x_n,head_force_y_n,head_force_z_n,\
         litter_height_lowering_m,strand_tension_head_lowering_n,haul_pull_lowering_n",
    );
    for (count, name) in [(study.feet.len(), "leg"), (study.guys.len(), "guy")] {
        for i in 1..=count {
            let _ = write!(text, ",{name}_{i}_n");
        }
    }
    for component in &study.components {
        let _ = write!(text, ",\"{} N\"", component.name.replace('"', "\"\""));
    }
    text.push('\n');
    for p in &study.positions {
        let numbers = [
            p.carriage.x.value,
            p.carriage.z.value,
            p.haul_length.value,
            p.carriage_height.value,
            p.litter_height.value,
            p.strand_tension_head.value,
            p.strand_tension_far.value,
            p.reading.low.value,
            p.reading.expected.value,
            p.reading.high.value,
            p.greatest_track_tension.value,
            p.interior_angle.value.to_degrees(),
            p.ground_share.value * 100.0,
            p.drag.value,
            p.haul_pull.value,
            p.winch_pull.value,
            p.straight_pull.value,
            p.current.value,
            p.voltage.value,
            p.load_speed.value,
            p.power.value,
            p.head_force.x.value,
            p.head_force.y.value,
            p.head_force.z.value,
        ];
        for (i, number) in numbers.into_iter().enumerate() {
            let comma = if i > 0 { "," } else { "" };
            let _ = write!(text, "{comma}{number:.4}");
        }
        match &p.lowering {
            Some(way) => {
                let numbers = [way.litter_height.value, way.strand_tension_head.value, way.haul_pull.value];
                for number in numbers {
                    let _ = write!(text, ",{number:.4}");
                }
            }
            // Empty cells: the load doesn't run out by itself.
            None => text.push_str(",,,"),
        }
        let members = study.feet.len() + study.guys.len();
        match &p.frame {
            Some(frame) => {
                for force in frame.legs.iter().chain(&frame.guys) {
                    let _ = write!(text, ",{:.4}", force.value);
                }
            }
            // Empty cells: the frame falls.
            None => text.push_str(&",".repeat(members)),
        }
        for force in &p.forces {
            let _ = write!(text, ",{:.4}", force.value);
        }
        text.push('\n');
    }
    text
}
