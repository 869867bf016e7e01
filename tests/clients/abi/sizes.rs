//! Structs that begin with `struct_size`: the sizes of their versions are frozen, and any other is refused.

use super::{Header, Kind, cases};

const STRUCT_SIZE: i32 = 2;

/// Every growing struct with the sizes of its published versions, on targets with 64-bit pointers. Frozen: a later
/// version is added at the end of its row.
const VERSIONS: [(&str, &[usize]); 47] = [
    ("rmech_settled", &[48]),
    ("rmech_vehicle", &[48]),
    ("rmech_deadman", &[48]),
    ("rmech_fall", &[96]),
    ("rmech_arrest", &[64]),
    ("rmech_lowered_load", &[64]),
    ("rmech_hand_over", &[32]),
    ("rmech_hang", &[48]),
    ("rmech_track_lost", &[48]),
    ("rmech_capstan", &[32]),
    ("rmech_carriage", &[136]),
    ("rmech_carriage_state", &[248, 256]),
    ("rmech_frame", &[80]),
    ("rmech_frame_forces", &[48]),
    ("rmech_frame_fall", &[48]),
    ("rmech_stability", &[56]),
    ("rmech_cone_edge", &[48]),
    ("rmech_tackle", &[120]),
    ("rmech_haul", &[104]),
    ("rmech_line", &[56]),
    ("rmech_line_state", &[104, 112]),
    ("rmech_reeving", &[88]),
    ("rmech_reeving_summary", &[88]),
    ("rmech_doubled_track", &[368]),
    ("rmech_track_tensions", &[264]),
    ("rmech_rig_point", &[120]),
    ("rmech_rig_rope", &[80]),
    ("rmech_rig_change", &[128]),
    ("rmech_slope_load", &[64]),
    ("rmech_slope_pull", &[56]),
    ("rmech_winch", &[104]),
    ("rmech_winch_state", &[152]),
    ("rmech_battery", &[96]),
    ("rmech_motor_fit", &[128]),
    ("rmech_haul_limits", &[144]),
    ("rmech_haul_outcome", &[104]),
    ("rmech_drum", &[48]),
    ("rmech_operation_options", &[24]),
    ("rmech_schedule", &[88]),
    ("rmech_set_point", &[120]),
    ("rmech_loaded_line", &[96]),
    ("rmech_track_setting", &[176]),
    ("rmech_schedule_place", &[104]),
    ("rmech_strand_window", &[120]),
    ("rmech_no_length", &[104]),
    ("rmech_haul_mark", &[160]),
    ("rmech_seen", &[32]),
];

#[test]
fn the_sizes_of_growing_structs_are_frozen() {
    let growing = Header::get().structs.iter().filter(|(name, of)| of.grows() && *name != "rmech_error");
    for (name, of) in growing {
        let row = VERSIONS.iter().find(|(known, _)| known == name);
        let (_, sizes) = row.unwrap_or_else(|| panic!("{name} grows, but none of its sizes is frozen"));
        assert_eq!(*sizes.last().unwrap(), of.size, "{name} has another size: add it as a later version");
        assert!(sizes.is_sorted());
    }
    assert_eq!(Header::get().structs["rmech_error"].size, 352);
}

#[test]
fn each_version_of_a_growing_struct_is_understood_and_nothing_between() {
    let mut older = 0;
    for case in cases() {
        let good = case.run();
        for parameter in case.parameters().iter().filter(|one| one.name != "error") {
            let Kind::Pointer(to) = &parameter.kind else { continue };
            let Kind::Struct(structure) = &**to else { continue };
            let Some((_, versions)) = VERSIONS.iter().find(|(name, _)| name == structure) else { continue };
            if case.given.iter().any(|(path, value)| *path == parameter.name && value == "NULL") {
                continue;
            }
            let now = *versions.last().unwrap();
            for size in [0, 4, 8, now - 8, now - 4, now + 4, now + 8, versions[0] + 4] {
                if versions.contains(&size) {
                    continue;
                }
                let outcome = case.run_with(|name, memory| {
                    if name == parameter.name {
                        memory.set_size(size);
                    }
                });
                let what = format!(
                    "{}: {}.struct_size = {size}: {}",
                    case.function, parameter.name, outcome.message
                );
                assert_eq!(outcome.status, STRUCT_SIZE, "{what}");
                assert_eq!(outcome.field, parameter.name, "{what}");
                assert!(outcome.untouched(), "{what}");
            }
            for &size in versions.iter().filter(|size| **size < now) {
                let outcome = case.run_with(|name, memory| {
                    if name == parameter.name {
                        memory.set_size(size);
                    }
                });
                assert_eq!(outcome.status, 0, "{}: {}", case.function, outcome.message);
                if !parameter.constant {
                    let (known, all) = (&outcome.outputs[&parameter.name], &good.outputs[&parameter.name]);
                    assert_eq!(known.words()[1..size / 8], all.words()[1..size / 8], "{}", case.function);
                    assert!(
                        known.words()[size / 8..now / 8].iter().all(|word| *word == 0xA5A5_A5A5_A5A5_A5A5)
                    );
                }
                older += 1;
            }
        }
    }
    assert!(older >= 10, "{older} older versions only");
}

#[test]
fn an_error_of_no_size_is_refused_and_a_longer_one_is_filled() {
    let bad = cases()[0].with("stretch.a", "-1");
    for size in [0, 4, 8, 344, 348, 356, 5000] {
        for case in [&cases()[0], &bad] {
            let outcome = case.run_with(|name, memory| {
                if name == "error" {
                    memory.set_size(size);
                }
            });
            assert_eq!(outcome.status, STRUCT_SIZE, "{size}");
            assert!(outcome.untouched() && outcome.field.is_empty() && outcome.message.is_empty());
        }
    }
    for size in [352, 360, 512] {
        let outcome = bad.run_with(|name, memory| {
            if name == "error" {
                memory.set_size(size);
            }
        });
        assert_eq!((outcome.status, outcome.field.as_str()), (3, "a"), "{size}");
        assert!(outcome.message.starts_with("a is -1 N, but must be "), "{}", outcome.message);
    }
}
