//! Kinds of invented walks: of the family that the model expects, of others, and far outside.

use crate::invented::Setting;

/// How a kind of walk stands to what the model expects.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Standing {
    /// Drawn from the range that the model expects.
    Usual,
    /// Noise of a form that the model does not know.
    Strange,
    /// Drift far outside of what it expects.
    Outside,
}

pub(super) struct Kind {
    pub(super) name: &'static str,
    pub(super) standing: Standing,
    pub(super) walks: u64,
    pub(super) setting: Setting,
}

pub(super) fn kinds() -> Vec<Kind> {
    let mix = |passes| Setting {
        passes,
        ..Setting::default()
    };
    let kind = |name, standing, walks, setting| Kind {
        name,
        standing,
        walks,
        setting,
    };
    let heavy = |passes| Setting {
        heavy: true,
        spikes: 0.01,
        ..mix(passes)
    };
    let lag = |passes| Setting {
        lag_s: 4.0,
        ..mix(passes)
    };
    let fast = |passes| Setting {
        drift_m: (1.5, 3.0),
        drift_s: (40.0, 80.0),
        ..mix(passes)
    };
    // Heights smoothed by the receiver: the error is smooth, its fast part nearly nil.
    let filtered = |passes| Setting {
        white_m: (0.02, 0.08),
        drift_m: (0.05, 0.3),
        drift_s: (10.0, 40.0),
        smooth_m: (1.5, 5.0),
        smooth_s: (30.0, 100.0),
        ..mix(passes)
    };
    // Errors that run away over minutes.
    let trending = |passes| Setting {
        white_m: (0.04, 0.15),
        drift_m: (0.2, 0.8),
        drift_s: (5.0, 20.0),
        smooth_m: (3.0, 9.0),
        smooth_s: (60.0, 180.0),
        ..mix(passes)
    };
    let barometers = |passes| Setting {
        white_m: (0.1, 0.1),
        drift_m: (0.3, 0.3),
        drift_s: (8.0, 8.0),
        smooth_m: (0.3, 0.3),
        smooth_s: (170.0, 170.0),
        barometers: true,
        ..mix(passes)
    };
    vec![
        kind("filtered, 1 walk", Standing::Usual, 200, filtered(1)),
        kind("filtered, 2 walks", Standing::Usual, 200, filtered(2)),
        kind("filtered, 4 walks", Standing::Usual, 150, filtered(4)),
        kind("trending, 1 walk", Standing::Usual, 200, trending(1)),
        kind("trending, 2 walks", Standing::Usual, 200, trending(2)),
        kind("trending, 4 walks", Standing::Usual, 150, trending(4)),
        kind(
            "two logs of the pressure, 2 walks",
            Standing::Usual,
            200,
            barometers(2),
        ),
        kind("usual, 1 walk", Standing::Usual, 1000, mix(1)),
        kind("usual, 2 walks", Standing::Usual, 400, mix(2)),
        kind("usual, 4 walks", Standing::Usual, 300, mix(4)),
        kind(
            "good receiver, 1 walk",
            Standing::Usual,
            100,
            Setting {
                white_m: (0.1, 0.1),
                drift_m: (0.8, 0.8),
                drift_s: (600.0, 600.0),
                plan_m: (1.0, 1.0),
                ..mix(1)
            },
        ),
        kind(
            "heavy tails and spikes, 1 walk",
            Standing::Strange,
            150,
            heavy(1),
        ),
        kind(
            "heavy tails and spikes, 2 walks",
            Standing::Strange,
            100,
            heavy(2),
        ),
        kind("heights 4 s late, 1 walk", Standing::Strange, 100, lag(1)),
        kind("heights 4 s late, 2 walks", Standing::Strange, 100, lag(2)),
        kind(
            "two receivers, 2 walks",
            Standing::Strange,
            150,
            Setting {
                two_receivers: true,
                ..mix(2)
            },
        ),
        kind(
            "terrain model, 2 walks",
            Standing::Strange,
            100,
            Setting {
                terrain: true,
                ..mix(2)
            },
        ),
        kind(
            "slow drift, 1 walk",
            Standing::Strange,
            300,
            Setting {
                drift_s: (900.0, 1800.0),
                ..mix(1)
            },
        ),
        kind(
            "bad receiver, 1 walk",
            Standing::Outside,
            150,
            Setting {
                white_m: (0.5, 0.5),
                drift_m: (3.0, 3.0),
                drift_s: (100.0, 100.0),
                plan_m: (3.0, 3.0),
                ..mix(1)
            },
        ),
        kind("fast drift, 1 walk", Standing::Outside, 100, fast(1)),
        kind("fast drift, 2 walks", Standing::Outside, 100, fast(2)),
    ]
}
