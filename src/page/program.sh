# Sourced from the project's folder: builds the program inside the page, by `features`, and says in `wasm` where it lies.
# Every reader and writer that the program has, but not the page inside the page.
features=${PAGE_FEATURES:-$(sed -n 's/^default = \[\(.*\)\]/\1/p' Cargo.toml | tr -d '" ' | tr , '\n' | grep -vx page | paste -sd,)}
rustup target add wasm32-wasip1 >/dev/null
RUSTFLAGS="-C target-feature=+simd128" cargo build --locked -q --profile page --target wasm32-wasip1 --no-default-features --features "$features"
wasm=${CARGO_TARGET_DIR:-target}/wasm32-wasip1/page/steadyfall.wasm
