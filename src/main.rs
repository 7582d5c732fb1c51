//! The page: mounts the views. On other targets than wasm it only says how to start it.
#![cfg_attr(target_arch = "wasm32", recursion_limit = "256")]

#[cfg(target_arch = "wasm32")]
mod browser;
#[cfg(target_arch = "wasm32")]
mod views;

#[cfg(target_arch = "wasm32")]
fn main() {
    browser::unicode::hand_over();
    views::mount();
}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    println!("This is the page of Lettertally, which runs in a browser: start it with tools/serve.");
}
