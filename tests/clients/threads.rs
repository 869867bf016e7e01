//! Handles in several threads of little stack, a study among them: `.ci/run` has the same under helgrind.

use rope_checks::{compile_c, top};

#[test]
fn handles_in_threads_of_little_stack_find_the_same() {
    let program = compile_c(&top().join("tests/clients/c/threads.c"), "c11");
    let site = top().join("examples/dispatch-c/demo.json");
    let run = std::process::Command::new(program).arg(site).output().unwrap();
    assert!(run.status.success(), "{}: {}", run.status, String::from_utf8_lossy(&run.stderr));
    assert_eq!(String::from_utf8(run.stdout).unwrap(), "ok\n");
}
