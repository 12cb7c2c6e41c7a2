/// A target guided by coverage, whose files are bent half by the engine and half by our own `bend`.
#[macro_export]
macro_rules! guided {
    ($name:literal) => {
        libfuzzer_sys::fuzz_target!(|bytes: &[u8]| {
            let target = steadyfall_fuzz::targets::TARGETS
                .iter()
                .find(|t| t.0 == $name);
            (target.expect("a target of that name").1)(bytes);
        });

        libfuzzer_sys::fuzz_mutator!(|data: &mut [u8], size: usize, longest: usize, seed: u32| {
            let mut chance = steadyfall_fuzz::bend::Chance::new(u64::from(seed));
            if chance.below(2) == 0 {
                return libfuzzer_sys::fuzzer_mutate(data, size, longest);
            }
            let mut file = data[..size].to_vec();
            steadyfall_fuzz::bend::bend(&mut file, &data[..size], longest, &mut chance);
            data[..file.len()].copy_from_slice(&file);
            file.len()
        });
    };
}
