//! The device's clock, and its dice.

use lettertally::book::Moment;

/// Today by the device's calendar, as year-month-day.
pub fn today() -> String {
    let now = js_sys::Date::new_0();
    format!("{:04}-{:02}-{:02}", now.get_full_year(), now.get_month() + 1, now.get_date())
}

/// A moment as the person's calendar and clock have it: "2026-03-01 14:05".
pub fn day_and_time(moment: Moment) -> String {
    let date = js_sys::Date::new(&(moment.0 as f64).into());
    format!(
        "{:04}-{:02}-{:02} {:02}:{:02}",
        date.get_full_year(),
        date.get_month() + 1,
        date.get_date(),
        date.get_hours(),
        date.get_minutes()
    )
}

/// The time of a day, given as year-month-day, by the person's calendar; none for another text.
pub fn day_range(day: &str) -> std::ops::Range<Moment> {
    let parts: Vec<i32> = day.split('-').filter_map(|part| part.parse().ok()).collect();
    let [year, month, day] = parts[..] else { return Moment(0)..Moment(0) };
    let begins = |day: i32| {
        let date = js_sys::Date::new_with_year_month_day(year as u32, month - 1, day);
        Moment(date.get_time().max(0.0) as u64)
    };
    begins(day)..begins(day + 1)
}

/// This moment by the device's clock.
pub fn now() -> Moment {
    Moment(js_sys::Date::now() as u64)
}

/// A number that differs each time.
pub fn dice() -> u32 {
    // The lower half of the fraction's bits is as random as the whole.
    js_sys::Math::random().to_bits() as u32
}

/// Whole milliseconds since the page was opened, by a clock that only goes forward.
pub fn milliseconds() -> i64 {
    let now = leptos::prelude::window().performance().map_or(0.0, |performance| performance.now());
    now as i64
}

/// Comes back after the browser has drawn the next frame.
pub async fn frame() {
    let promise = js_sys::Promise::new(&mut |resolve, _| {
        if leptos::prelude::window().request_animation_frame(&resolve).is_err() {
            // Without frames there is none to wait for.
            let _ = resolve.call0(&wasm_bindgen::JsValue::NULL);
        }
    });
    let _ = wasm_bindgen_futures::JsFuture::from(promise).await;
    // This is just before it is drawn; the next task is after.
    pause(0).await;
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
