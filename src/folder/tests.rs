use super::directory::Directory as _;
use super::pretend::{Pretend, Rules};
use super::swap::Swap;
use super::*;

fn result(n: u32) -> Vec<ResultFile> {
    vec![
        (
            "result.json".into(),
            format!("{{\"program\":{{\"name\":\"steadyfall\"}},\"n\":{n}}}").into_bytes(),
        ),
        ("stations.csv".into(), format!("{n}").into_bytes()),
    ]
}

fn run(disk: &Pretend, sheets: &[ResultFile]) -> Result<Vec<Kept>, Fault> {
    Swap::new(disk, OsStr::new("out"), Path::new("out")).write(sheets)
}

/// A folder of an earlier run, with a sheet that the next run does not write, one that the user changed, and a file and a folder of the user's.
fn lived_in(rules: Rules) -> Pretend {
    let disk = Pretend::new(rules);
    let mut first = result(1);
    first.push(("laying.csv".into(), b"old".to_vec()));
    run(&disk, &first).unwrap();
    disk.put("out/notes.txt", Some("mine"));
    disk.put("out/photos/a", Some("photo"));
    disk.put("out/stations.csv", Some("1, and what I measured"));
    disk
}

fn as_it_should_be(disk: &Pretend) {
    assert_eq!(
        disk.list("out"),
        "notes.txt photos result.json stations-kept.csv stations.csv written.sha256"
    );
    assert_eq!(disk.list(""), "out");
    assert_eq!(disk.text("out/notes.txt").unwrap(), "mine");
    assert_eq!(disk.text("out/photos/a").unwrap(), "photo");
    assert_eq!(disk.text("out/stations.csv").unwrap(), "2");
    assert_eq!(
        disk.text("out/stations-kept.csv").unwrap(),
        "1, and what I measured"
    );
}

#[test]
fn what_a_run_wrote_goes_and_what_others_put_there_stays() {
    for rules in Rules::ALL {
        let disk = lived_in(rules);
        let kept = run(&disk, &result(2)).unwrap();
        assert_eq!(kept.len(), 1, "{kept:?}");
        assert_eq!(
            (kept[0].was.as_str(), kept[0].is.as_str()),
            ("stations.csv", "stations-kept.csv")
        );
        as_it_should_be(&disk);
    }
}

#[test]
fn stopped_at_any_step_nothing_is_lost_and_the_next_run_mends_it() {
    for rules in Rules::ALL {
        let mut steps = 0;
        loop {
            let disk = lived_in(rules).again(steps);
            let whole = run(&disk, &result(2)).is_ok() && disk.left() > 0;
            // Somewhere the old or the new results stand whole, and the user's file is in reach.
            let stands = |place: &str, n: &str| {
                disk.text(&format!("{place}/result.json"))
                    .is_some_and(|t| t.contains(n))
            };
            assert!(
                stands("out", "1") || stands("out", "2") || stands(".out.old", "1"),
                "{rules:?}, step {steps}"
            );
            let disk = disk.again(usize::MAX);
            run(&disk, &result(2)).unwrap();
            as_it_should_be(&disk);
            if whole {
                break;
            }
            steps += 1;
        }
        assert!(steps > 20, "{steps}");
    }
}

#[test]
fn where_capitals_make_no_other_name_nothing_of_the_users_is_lost() {
    for rules in Rules::ALL {
        let disk = Pretend::new(rules);
        run(&disk, &result(1)).unwrap();
        disk.put("out/STATIONS.csv", Some("mine"));
        let kept = run(&disk, &result(2)).unwrap();
        let mine = kept.first().map_or("STATIONS.csv", |k| k.is.as_str());
        assert_eq!(
            disk.text(&format!("out/{mine}")).unwrap(),
            "mine",
            "{rules:?}"
        );
        assert_eq!(disk.text("out/stations.csv").unwrap(), "2", "{rules:?}");
    }
}

#[test]
fn a_link_at_any_name_is_refused_and_what_it_points_to_stays() {
    for name in ["out", ".out.partial", ".out.old", ".out.lock"] {
        let disk = Pretend::new(Rules::Unix);
        if name != "out" {
            run(&disk, &result(1)).unwrap();
        }
        disk.put("real/letter.txt", Some("dear"));
        disk.put(
            "real/result.json",
            Some("{\"program\":{\"name\":\"steadyfall\"}}"),
        );
        disk.link(name, "real");
        let fault = run(&disk, &result(2)).unwrap_err();
        assert!(fault.text.contains("link"), "{name}: {fault}");
        assert_eq!(disk.list("real"), "letter.txt result.json", "{name}");
        if name != "out" {
            assert_eq!(disk.text("out/stations.csv").unwrap(), "1");
        }
    }
}

/// Between any two steps of a run somebody puts a link in the place of a name it uses: what the link points to stays as it was, and so do the user's files.
#[test]
fn a_link_swapped_in_at_any_step_is_never_followed() {
    for rules in Rules::ALL {
        for name in ["out", ".out.partial", ".out.old", ".out.lock"] {
            let mut at = 1;
            loop {
                let disk = lived_in(rules);
                disk.put("theirs/dear.txt", Some("letter"));
                disk.put(
                    "theirs/result.json",
                    Some("{\"program\":{\"name\":\"steadyfall\"}}"),
                );
                let disk = disk.swapped(at, name);
                let done = run(&disk, &result(2));
                if !disk.was_swapped() {
                    assert!(at > 20, "{rules:?} {name}: only {at} steps");
                    break;
                }
                let here = format!("{rules:?} {name} at step {at}: {:?}", done.err());
                assert_eq!(disk.list("theirs"), "dear.txt result.json", "{here}");
                assert_eq!(disk.text("theirs/dear.txt").unwrap(), "letter", "{here}");
                let mine = ["out", ".out.old", "aside"].into_iter().any(|place| {
                    disk.text(&format!("{place}/notes.txt")).as_deref() == Some("mine")
                });
                assert!(mine, "{here}: {}", disk.list(""));
                at += 1;
            }
        }
    }
}

#[test]
fn a_folder_of_others_under_a_name_that_a_run_needs_is_left_alone() {
    let disk = Pretend::new(Rules::Unix);
    disk.put(".out.partial/theirs/a", Some("x"));
    assert!(run(&disk, &result(1)).is_err());
    assert_eq!(disk.text(".out.partial/theirs/a").unwrap(), "x");
}

#[test]
fn results_of_version_0_1_have_no_list_and_their_site_file_is_kept() {
    let disk = Pretend::new(Rules::Unix);
    let ours = "{\"format\":1,\"program\":{\"name\":\"steadyfall\"}}";
    for (name, text) in [
        ("result.json", ours),
        ("moved-2.svg", "old"),
        ("laying.csv", "old"),
        ("site.toml", "mine"),
    ] {
        disk.put(&format!("out/{name}"), Some(text));
    }
    run(&disk, &result(2)).unwrap();
    assert_eq!(
        disk.list("out"),
        "result.json site.toml stations.csv written.sha256"
    );
    assert_eq!(disk.text("out/site.toml").unwrap(), "mine");
}

#[test]
fn only_a_result_of_ours_makes_a_folder_ours() {
    for (text, ours) in [
        (
            "{\"format\":2,\"program\":{\"name\":\"steadyfall\"},\"cut",
            true,
        ),
        ("{\"program\":{\"name\":\"another\"}}", false),
        ("{\"title\":\"steadyfall\"}", false),
        ("[1]", false),
        ("", false),
    ] {
        let disk = Pretend::new(Rules::Unix);
        disk.put("out/result.json", Some(text));
        assert_eq!(run(&disk, &result(1)).is_ok(), ours, "{text}");
    }
    let disk = Pretend::new(Rules::Unix);
    disk.put("out/letter.txt", Some("dear"));
    let fault = run(&disk, &result(1)).unwrap_err();
    assert!(fault.text.contains("did not make this folder"));
    assert_eq!(disk.list("out"), "letter.txt");
}

#[cfg(not(target_family = "wasm"))]
mod on_disk {
    use super::*;

    fn room(name: &str) -> PathBuf {
        let dir =
            std::env::temp_dir().join(format!("steadyfall-folder-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&dir);
        fs::create_dir_all(&dir).unwrap();
        dir
    }

    #[test]
    fn the_disk_does_what_the_pretended_one_does() {
        let out = room("disk").join("made/results");
        let mut first = result(1);
        first.push(("laying.csv".into(), b"old".to_vec()));
        write(&out, &first, &[]).unwrap();
        fs::write(out.join("notes.txt"), "mine").unwrap();
        fs::write(out.join("stations.csv"), "changed").unwrap();
        let kept = write(&out, &result(2), &[]).unwrap();
        assert_eq!(kept.len(), 1);
        let names = |dir: &Path| {
            let mut names: Vec<String> = fs::read_dir(dir)
                .unwrap()
                .map(|e| e.unwrap().file_name().into_string().unwrap())
                .collect();
            names.sort();
            names.join(" ")
        };
        assert_eq!(
            names(&out),
            "notes.txt result.json stations-kept.csv stations.csv written.sha256"
        );
        assert_eq!(names(out.parent().unwrap()), "results");
    }

    #[test]
    fn two_runs_at_once_do_not_mix() {
        let base = room("two");
        let out = base.join("results");
        let above = Disk::at(&base).unwrap();
        let name = OsStr::new(".results.lock");
        let held = above.lock(name).unwrap().unwrap();
        assert!(
            write(&out, &result(1), &[])
                .unwrap_err()
                .text
                .contains("another run")
        );
        above.unlock(name, held);
        write(&out, &result(1), &[]).unwrap();
        assert!(!base.join(".results.lock").exists());
    }

    #[test]
    fn a_file_that_was_read_is_never_written_over() {
        let out = room("input").join("results");
        write(&out, &result(1), &[]).unwrap();
        let own = out.join("stations.csv");
        let fault = write(&out, &result(2), std::slice::from_ref(&own)).unwrap_err();
        assert!(fault.text.contains("was read"), "{fault}");
        assert_eq!(fs::read_to_string(&own).unwrap(), "1");
        // A file that is read and not written stays where it is.
        let site = out.join("site.toml");
        fs::write(&site, "format = 1").unwrap();
        write(&out, &result(3), std::slice::from_ref(&site)).unwrap();
        assert_eq!(fs::read_to_string(&site).unwrap(), "format = 1");
    }

    #[cfg(unix)]
    #[test]
    fn links_on_the_disk_are_refused_at_every_name() {
        for name in [
            "results",
            ".results.partial",
            ".results.old",
            ".results.lock",
        ] {
            let base = room(&format!("link{name}"));
            fs::create_dir(base.join("real")).unwrap();
            fs::write(base.join("real/letter.txt"), "dear").unwrap();
            std::os::unix::fs::symlink(base.join("real"), base.join(name)).unwrap();
            let fault = write(&base.join("results"), &result(1), &[]).unwrap_err();
            assert!(fault.text.contains("link"), "{name}: {fault}");
            assert_eq!(
                fs::read_to_string(base.join("real/letter.txt")).unwrap(),
                "dear"
            );
            assert_eq!(fs::read_dir(base.join("real")).unwrap().count(), 1);
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_result_that_is_a_pipe_is_not_waited_for() {
        let out = room("fifo").join("results");
        fs::create_dir(&out).unwrap();
        let made = std::process::Command::new("mkfifo")
            .arg(out.join("result.json"))
            .status();
        if made.is_ok_and(|s| s.success()) {
            assert!(write(&out, &result(1), &[]).is_err());
        }
    }
}
