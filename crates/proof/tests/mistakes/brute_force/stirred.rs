//! A stirred body that other water runs into.

/// Seconds until a stirred body at `own` passes `limit`, by steps of its salt's balance (Heun's); infinite where that
/// takes longer than `most_s`.
pub(super) fn until(
    volume_m3: f64,
    (own, limit): (f64, f64),
    (comes, arriving, net): (f64, f64, f64),
    most_s: f64,
) -> f64 {
    // d(V·s)/dt = q·a − (q − r)·s and dV/dt = r, so ds/dt = q·(a − s)/V.
    let slope = |seconds: f64, salinity: f64| comes * (arriving - salinity) / (volume_m3 + net * seconds);
    let up = arriving > own;
    let past = |salinity: f64| if up { salinity >= limit } else { salinity <= limit };
    let (mut seconds, mut salinity) = (0.0, own);
    while seconds <= 1.02 * most_s {
        let volume_now_m3 = volume_m3 + net * seconds;
        if volume_now_m3 <= 0.0 {
            return f64::INFINITY;
        }
        // A thousandth of what would carry it there at this slope, or of what would fill it anew.
        let first = slope(seconds, salinity);
        let step = (2e-3 * volume_now_m3 / comes.max(net.abs()))
            .min(((limit - own) / first).abs() / 200.0)
            .max(1e-6 * most_s);
        let second = slope(seconds + step, salinity + step * first);
        let next = salinity + 0.5 * step * (first + second);
        if past(next) {
            return seconds + step * (limit - salinity) / (next - salinity);
        }
        (seconds, salinity) = (seconds + step, next);
    }
    f64::INFINITY
}
