//! The device's clock.

/// Today by the device's calendar, as year-month-day.
pub fn today() -> String {
    let now = js_sys::Date::new_0();
    format!("{:04}-{:02}-{:02}", now.get_full_year(), now.get_month() + 1, now.get_date())
}

/// Whole milliseconds since the page was opened, by a clock that only goes forward.
pub fn milliseconds() -> i64 {
    let now = leptos::prelude::window().performance().map_or(0.0, |performance| performance.now());
    now as i64
}

/// Lets the browser paint and take input, and comes back after so many milliseconds or more.
pub async fn pause(milliseconds: i32) {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        // Without a timer there is nothing to wait for: going on at once is the best left.
        let _ = leptos::prelude::window()
            .set_timeout_with_callback_and_timeout_and_arguments_0(&resolve, milliseconds);
    });
    let _ = wasm_bindgen_futures::JsFuture::from(promise).await;
}
