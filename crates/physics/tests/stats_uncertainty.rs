//! First-order propagation against published and computed references, and against draws.

use physics::stats::{
    Correlation, Estimate, GumError, Placement, combined_standard_uncertainty, correlation,
    effective_degrees_of_freedom, latin_hypercube, mean, normal_quantile, propagate, quantile,
    rectangular_standard_uncertainty, standard_deviation, standard_deviation_of_mean,
    triangular_standard_uncertainty,
};
use serde_json::Value;

type Function = fn(&[f64]) -> f64;

/// The expressions of `validation/uncertainty.json`, transcribed, with their inputs in this order.
#[rustfmt::skip]
const EXPRESSIONS: &[(&str, &[&str], Function)] = &[
    ("salinity_from_masses", &["f", "md", "mw"], |x| 1000.0 * x[0] * x[1] / (x[2] + x[1])),
    ("salinity_from_volume", &["f", "md", "V", "rho"], |x| 1000.0 * x[0] * x[1] / (x[2] * x[3] + x[1])),
    ("blend_of_two", &["S1", "S2", "V1", "V2", "r1", "r2"],
        |x| (x[0] * x[2] * x[4] + x[1] * x[3] * x[5]) / (x[2] * x[4] + x[3] * x[5])),
    ("density_by_weighing", &["mg", "mt", "V"], |x| (x[0] - x[1]) / x[2]),
    ("cylinder_volume", &["D", "h"], |x| std::f64::consts::FRAC_PI_4 * x[0] * x[0] * x[1]),
    ("flow_bucket_correlated", &["m2", "m1", "rho", "t"], |x| (x[0] - x[1]) / (x[2] * x[3])),
];

struct Case {
    name: String,
    function: Function,
    estimates: Vec<Estimate>,
    correlations: Vec<Correlation>,
    names: &'static [&'static str],
    expected: Value,
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or_else(|| panic!("{key} in {value}"))
}

fn cases() -> Vec<Case> {
    let text = include_str!("../../../validation/uncertainty.json");
    let data: Value = serde_json::from_str(text).expect("sound JSON");
    let cases = data["cases"].as_array().expect("a list").iter().map(|expected| {
        let name = expected["name"].as_str().expect("a name");
        let &(_, names, function) = EXPRESSIONS
            .iter()
            .find(|entry| entry.0 == name)
            .unwrap_or_else(|| panic!("{name}"));
        let estimates = names.iter().map(|input| Estimate {
            value: number(&expected["inputs"][input], "value"),
            standard_uncertainty: number(&expected["inputs"][input], "u"),
        });
        let index = |pair: &Value, key: &str| {
            names
                .iter()
                .position(|input| pair[key] == **input)
                .expect("a known input")
        };
        let correlations = expected["correlations"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|pair| Correlation {
                first: index(pair, "a"),
                second: index(pair, "b"),
                coefficient: number(pair, "r"),
            });
        Case {
            name: name.to_owned(),
            function,
            estimates: estimates.collect(),
            correlations: correlations.collect(),
            names,
            expected: expected.clone(),
        }
    });
    cases.collect()
}

#[test]
fn propagation_meets_the_reference() {
    let cases = cases();
    assert_eq!(cases.len(), 6);
    for Case {
        name,
        function,
        estimates,
        correlations,
        names,
        expected,
    } in cases
    {
        let got = propagate(|x| Some(function(x)), &estimates, &correlations).unwrap();
        let close = |what: &str, got: f64, reference: f64, relative: f64, why: &str| {
            assert!(
                (got / reference - 1.0).abs() <= relative,
                "{name}, {what}: {got} for {reference} ({why})"
            );
        };
        close(
            "value",
            got.value,
            number(&expected, "value"),
            1e-14,
            "the same formula",
        );
        let why = "central differences at two widths, smooth functions";
        close("u", got.standard_uncertainty, number(&expected, "u"), 1e-9, why);
        for (contribution, input) in got.contributions.iter().zip(names) {
            close(
                input,
                contribution.sensitivity,
                number(&expected["sensitivity"], input),
                1e-8,
                why,
            );
            let reference = number(&expected["u_contribution"], input);
            close(input, contribution.standard_uncertainty, reference, 1e-8, why);
        }
    }
}

#[test]
fn draws_agree_with_propagation() {
    const DRAWS: u32 = 512;
    for Case {
        name,
        function,
        estimates,
        correlations,
        expected,
        ..
    } in cases()
    {
        let columns: Vec<Vec<f64>> = (0..estimates.len() as u64)
            .map(|key| latin_hypercube(2026, key, DRAWS, Placement::Jittered))
            .map(|column| column.into_iter().map(|p| normal_quantile(p).unwrap()).collect())
            .collect();
        let answers: Vec<f64> = (0..DRAWS as usize)
            .map(|draw| {
                let mut deviates: Vec<f64> = columns.iter().map(|column| column[draw]).collect();
                for &Correlation {
                    first,
                    second,
                    coefficient,
                } in &correlations
                {
                    let own = (1.0 - coefficient * coefficient).sqrt();
                    deviates[second] = coefficient * deviates[first] + own * deviates[second];
                }
                let inputs: Vec<f64> = estimates
                    .iter()
                    .zip(deviates)
                    .map(|(estimate, z)| estimate.value + estimate.standard_uncertainty * z)
                    .collect();
                function(&inputs)
            })
            .collect();
        let (value, u) = (number(&expected, "value"), number(&expected, "u"));
        // The mean of a nearly linear function loses almost all of its scatter to the strata; the spread keeps
        // that of 512 draws, 1/sqrt(1022) = 3.1 %: three of them, and the bend of the functions is far below.
        let off_mean = (mean(&answers).unwrap() - value) / u;
        let off_spread = standard_deviation(&answers).unwrap() / u - 1.0;
        assert!(off_mean.abs() < 0.03, "{name}: mean off by {off_mean} u");
        assert!(off_spread.abs() < 0.094, "{name}: spread off by {off_spread}");
        // Ends of the 95 % interval: 512 draws leave the 2.5 % point uncertain by
        // sqrt(0.025·0.975/512)/0.0584 = 0.118 u, the density there being 0.0584/u; three of them.
        for (p, z) in [(0.025, -1.96), (0.975, 1.96)] {
            let off = (quantile(&answers, p).unwrap() - value) / u - z;
            assert!(off.abs() < 0.36, "{name}: quantile {p} off by {off} u");
        }
    }
}

struct Reading {
    what: &'static str,
    got: f64,
    expected: f64,
    tolerance: f64,
    why_tolerance: &'static str,
}

#[test]
fn resistance_and_reactance_measured_together() {
    // JCGM-100-2008, annex H.2: five sets of simultaneous readings; data quoted from memory, the three
    // correlations also printed by a public worked example.
    let voltage_v = [5.007, 4.994, 5.005, 4.990, 4.999];
    let current_a = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
    let phase = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
    let readings = [&voltage_v, &current_a, &phase];
    let estimates: Vec<Estimate> = readings
        .iter()
        .map(|sample| Estimate {
            value: mean(*sample).unwrap(),
            standard_uncertainty: standard_deviation_of_mean(*sample).unwrap(),
        })
        .collect();
    let together = |first: usize, second: usize| Correlation {
        first,
        second,
        coefficient: correlation(readings[first], readings[second]).unwrap(),
    };
    let pairs = [together(0, 1), together(0, 2), together(1, 2)];
    let result = |function: Function| propagate(|x| Some(function(x)), &estimates, &pairs).unwrap();
    let resistance = result(|x| x[0] / x[1] * libm::cos(x[2]));
    let reactance = result(|x| x[0] / x[1] * libm::sin(x[2]));
    let impedance = result(|x| x[0] / x[1]);

    let digit = "half a unit of the last printed digit";
    #[rustfmt::skip]
    let rows = [
        Reading { what: "r(V, I)", got: pairs[0].coefficient, expected: -0.3553, tolerance: 5e-5, why_tolerance: digit },
        Reading { what: "r(V, phi)", got: pairs[1].coefficient, expected: 0.8576, tolerance: 5e-5, why_tolerance: digit },
        Reading { what: "r(I, phi)", got: pairs[2].coefficient, expected: -0.6451, tolerance: 5e-5, why_tolerance: digit },
        Reading { what: "R", got: resistance.value, expected: 127.732, tolerance: 5e-4, why_tolerance: digit },
        Reading { what: "u(R)", got: resistance.standard_uncertainty, expected: 0.0711, tolerance: 5e-5, why_tolerance: digit },
        Reading { what: "X", got: reactance.value, expected: 219.847, tolerance: 5e-4, why_tolerance: digit },
        Reading { what: "u(X)", got: reactance.standard_uncertainty, expected: 0.2956, tolerance: 5e-5, why_tolerance: digit },
        Reading { what: "Z", got: impedance.value, expected: 254.260, tolerance: 5e-4, why_tolerance: digit },
        Reading { what: "u(Z)", got: impedance.standard_uncertainty, expected: 0.2363, tolerance: 5e-5, why_tolerance: digit },
    ];
    for Reading {
        what,
        got,
        expected,
        tolerance,
        why_tolerance,
    } in rows
    {
        assert!(
            (got - expected).abs() <= tolerance,
            "{what}: {got} for {expected} ({why_tolerance})"
        );
    }
}

#[test]
fn what_the_bucket_mark_does_to_salinity() {
    // Salinity goes as mass over volume, so relative uncertainties add in squares.
    let salinity = |mass_u: f64, volume_u: f64| {
        let inputs = [
            Estimate {
                value: 7.2,
                standard_uncertainty: mass_u,
            },
            Estimate {
                value: 0.2,
                standard_uncertainty: volume_u,
            },
        ];
        propagate(|x| Some(35.0 * (x[0] / 7.2) / (x[1] / 0.2)), &inputs, &[]).unwrap()
    };
    let kitchen_scale = salinity(0.02, 0.004);
    #[rustfmt::skip]
    let rows = [
        Reading { what: "scale to 20 g, mark to 2 %", got: kitchen_scale.standard_uncertainty, expected: 0.71, tolerance: 0.005, why_tolerance: "half a unit of the last digit written; hand: 35·sqrt(0.00278² + 0.02²)" },
        Reading { what: "scale to 500 g", got: salinity(0.5, 0.0).standard_uncertainty, expected: 2.43, tolerance: 0.005, why_tolerance: "half a unit of the last digit written; hand: 35·0.5/7.2" },
    ];
    for Reading {
        what,
        got,
        expected,
        tolerance,
        why_tolerance,
    } in rows
    {
        assert!(
            (got - expected).abs() <= tolerance,
            "{what}: {got} for {expected} ({why_tolerance})"
        );
    }
    let share = |index: usize| kitchen_scale.contributions[index].standard_uncertainty;
    assert!(
        share(1) > 7.0 * share(0),
        "nearly all of it comes from the volume mark"
    );
}

#[test]
fn simple_laws_of_propagation() {
    let u = |sensitivities: &[f64], uncertainties: &[f64], pairs: &[Correlation]| {
        combined_standard_uncertainty(sensitivities, uncertainties, pairs)
    };
    assert_eq!(u(&[1.0, 1.0], &[3.0, 4.0], &[]), Ok(5.0));
    let full = |coefficient| {
        [Correlation {
            first: 0,
            second: 1,
            coefficient,
        }]
    };
    assert_eq!(u(&[1.0, 1.0], &[3.0, 4.0], &full(1.0)), Ok(7.0));
    assert_eq!(u(&[1.0, 1.0], &[3.0, 4.0], &full(-1.0)), Ok(1.0));
    assert_eq!(u(&[1.0, -1.0], &[0.02, 0.02], &full(1.0)), Ok(0.0));
    assert_eq!(u(&[], &[], &[]), Ok(0.0));
    assert!((rectangular_standard_uncertainty(3.0) - 3_f64.sqrt()).abs() < 1e-15);
    assert!((triangular_standard_uncertainty(6.0) - 6_f64.sqrt()).abs() < 1e-15);
    // JCGM-100-2008 G.4.1: equal contributions of 4 degrees of freedom each add them up.
    let degrees = effective_degrees_of_freedom(2_f64.sqrt(), &[(1.0, 4.0), (1.0, 4.0)]).unwrap();
    assert!((degrees - 8.0).abs() < 1e-12);
    assert_eq!(
        effective_degrees_of_freedom(1.0, &[(1.0, f64::INFINITY)]),
        Ok(f64::INFINITY)
    );
}

#[test]
fn impossible_uncertainties_are_refused() {
    let pair = |first, second, coefficient| {
        [Correlation {
            first,
            second,
            coefficient,
        }]
    };
    let u = |pairs: &[Correlation]| combined_standard_uncertainty(&[1.0, 1.0, 1.0], &[1.0; 3], pairs);
    assert!(matches!(u(&pair(0, 0, 0.5)), Err(GumError::Correlation { .. })));
    assert!(matches!(u(&pair(0, 3, 0.5)), Err(GumError::Correlation { .. })));
    assert!(matches!(u(&pair(0, 1, 1.5)), Err(GumError::Correlation { .. })));
    assert!(matches!(
        u(&pair(0, 1, f64::NAN)),
        Err(GumError::Correlation { .. })
    ));
    let all_against_all = [pair(0, 1, -1.0)[0], pair(0, 2, -1.0)[0], pair(1, 2, -1.0)[0]];
    assert!(matches!(u(&all_against_all), Err(GumError::Contradiction { .. })));
    assert!(matches!(
        combined_standard_uncertainty(&[1.0], &[-1.0], &[]),
        Err(GumError::Input { index: 0, .. })
    ));
    assert!(matches!(
        combined_standard_uncertainty(&[1.0], &[], &[]),
        Err(GumError::Unpaired { .. })
    ));
    let estimates = [Estimate {
        value: 0.0,
        standard_uncertainty: 0.1,
    }];
    let refused = propagate(|x| (x[0] >= 0.0).then(|| x[0].sqrt()), &estimates, &[]);
    assert!(matches!(refused, Err(GumError::NoValue { index: 0, .. })));
    assert!(effective_degrees_of_freedom(1.0, &[(2.0, 4.0)]).is_err());
    assert!(effective_degrees_of_freedom(1.0, &[(0.5, 0.0)]).is_err());
}
