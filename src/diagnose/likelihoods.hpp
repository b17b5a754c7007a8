// SPDX-License-Identifier: Apache-2.0
// How probable each observation is under each cause. Judgement, given in docs/methods.md; their
// order of size is what matters. Rows that exclude each other add up to one, or hardly more where
// the rarest of them were added later.
#pragma once

#include "diagnose/evidence.hpp"

namespace coolband::likelihoods {

//                         normal open  closed stick fan   radi. flow  air   sensor
inline constexpr Likelihood k_below[] = {
    /* none    */ {0.960, 0.05, 0.93, 0.12, 0.95, 0.95, 0.94, 0.70, 0.50},
    /* slight  */ {0.035, 0.10, 0.05, 0.13, 0.04, 0.04, 0.05, 0.10, 0.10},
    /* part    */ {0.004, 0.30, 0.015, 0.63, 0.008, 0.008, 0.008, 0.16, 0.25},
    /* lasting */ {0.001, 0.55, 0.005, 0.12, 0.002, 0.002, 0.002, 0.04, 0.15}};
inline constexpr Likelihood k_above[] = {
    /* none    */ {0.955, 0.95, 0.04, 0.12, 0.15, 0.25, 0.15, 0.25, 0.50},
    /* slight  */ {0.040, 0.04, 0.10, 0.13, 0.20, 0.25, 0.10, 0.15, 0.10},
    /* part    */ {0.004, 0.008, 0.36, 0.63, 0.57, 0.45, 0.40, 0.50, 0.25},
    /* lasting */ {0.001, 0.002, 0.50, 0.12, 0.08, 0.05, 0.35, 0.10, 0.15}};
/// Within the opening span, of a sound vehicle whose load was not logged: hills are not rare.
inline constexpr double k_above_unknown_load[] = {0.955, 0.04, 0.04, 0.006};
/// Of a sound vehicle whose load and road speed were not logged: it idles in the cool, and runs
/// down hills, unseen.
inline constexpr double k_below_unknown_running[] = {0.885, 0.065, 0.04, 0.004};
/// And such a course is what idling and hills make, see may_have_idled.
inline constexpr Likelihood k_course_of_idling = {0.96, 0.12, 0.90, 0.35, 0.90,
                                                  0.90, 0.90, 0.05, 0.30};
inline constexpr Likelihood k_course_of_no_idling = {0.04, 0.88, 0.10, 0.65, 0.10,
                                                     0.10, 0.10, 0.95, 0.70};
/// Where the thermostat first opened, by Opening from far_below on: a hill, the weather or a fan do
/// not move it; air at its element does.
inline constexpr Likelihood k_opening[] = {
    /* far below */ {0.009, 0.15, 0.002, 0.03, 0.009, 0.009, 0.01, 0.01, 0.02},
    /* below     */ {0.015, 0.15, 0.003, 0.04, 0.015, 0.015, 0.02, 0.02, 0.03},
    /* usual     */ {0.965, 0.66, 0.030, 0.65, 0.930, 0.800, 0.64, 0.85, 0.90},
    /* above     */ {0.008, 0.03, 0.015, 0.08, 0.026, 0.026, 0.10, 0.06, 0.03},
    /* far above */ {0.003, 0.01, 0.950, 0.20, 0.020, 0.150, 0.23, 0.06, 0.02}};
/// Of a sensor that reads too high, or too low, all along.
inline constexpr double k_opening_read_high[] = {0.002, 0.003, 0.245, 0.20, 0.55};
inline constexpr double k_opening_read_low[] = {0.55, 0.15, 0.295, 0.003, 0.002};
/// How long the warm-up took beside the usual: of an engine that load or speed show at work, and of
/// one that may have idled on its way.
inline constexpr Likelihood k_warm_up_driven[] = {
    /* as usual    */ {0.945, 0.40, 0.945, 0.88, 0.945, 0.945, 0.945, 0.945, 0.90},
    /* longer      */ {0.043, 0.15, 0.043, 0.07, 0.043, 0.043, 0.043, 0.043, 0.055},
    /* much longer */ {0.009, 0.13, 0.009, 0.03, 0.009, 0.009, 0.009, 0.009, 0.015},
    /* very long   */ {0.003, 0.32, 0.003, 0.02, 0.003, 0.003, 0.003, 0.003, 0.03}};
inline constexpr Likelihood k_warm_up_unknown[] = {
    /* as usual    */ {0.87, 0.40, 0.87, 0.84, 0.87, 0.87, 0.87, 0.87, 0.84},
    /* longer      */ {0.07, 0.15, 0.07, 0.08, 0.07, 0.07, 0.07, 0.07, 0.075},
    /* much longer */ {0.03, 0.13, 0.03, 0.04, 0.03, 0.03, 0.03, 0.03, 0.035},
    /* very long   */ {0.03, 0.32, 0.03, 0.04, 0.03, 0.03, 0.03, 0.03, 0.05}};
/// A sensor that reads too high when hot reads far too high when cold; an engine that has rested
/// for hours is as warm as the air.
inline constexpr Likelihood k_start_as_the_air = {0.6, 0.6, 0.6, 0.6, 0.6, 0.6, 0.6, 0.6, 0.10};
inline constexpr Likelihood k_start_warmer = {0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.3, 0.65};
/// Nothing but a thermostat makes an engine run too cold and too hot in turn.
inline constexpr Likelihood k_in_turn = {0.01,  0.005, 0.005, 0.90, 0.005,
                                         0.005, 0.005, 0.005, 0.05};
/// A valve that sticks comes back, one that hangs open does not.
inline constexpr Likelihood k_stays_cold = {0.30, 0.80, 0.30, 0.30, 0.30, 0.30, 0.30, 0.20, 0.60};
inline constexpr Likelihood k_hot_everywhere = {0.40, 0.50, 0.75, 0.70, 0.10,
                                                0.20, 0.55, 0.55, 0.80};
inline constexpr Likelihood k_hot_when_slow = {0.30, 0.20, 0.05, 0.10, 0.80,
                                               0.05, 0.15, 0.20, 0.10};
inline constexpr Likelihood k_hot_under_load = {0.30, 0.30, 0.20, 0.20, 0.10,
                                                0.75, 0.30, 0.25, 0.10};
inline constexpr Likelihood k_cold_at_speed = {0.10, 0.50, 0.10, 0.20, 0.10,
                                               0.10, 0.10, 0.10, 0.05};
// All of the reading exclude each other. A sound reading that stands still by chance for twenty
// independent looks is rarer than 0.0002, as good as never.
inline constexpr Likelihood k_reading_clean = {0.9896, 0.9896, 0.9896, 0.9896, 0.9896,
                                               0.9896, 0.9896, 0.8748, 0.45};
/// A reading that is steadily wrong is clean: where the circuit speaks for one, or the trip lies on
/// one side all along.
inline constexpr Likelihood k_reading_clean_and_wrong = {0.9896, 0.9896, 0.9896, 0.9896, 0.9896,
                                                         0.9896, 0.9896, 0.8748, 0.90};
inline constexpr Likelihood k_reading_odd = {0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.01, 0.12, 0.18};
/// Off the scale more than once: no glitch of the logger, or hardly.
inline constexpr Likelihood k_reading_open = {0.002, 0.002, 0.002, 0.002, 0.002,
                                              0.002, 0.002, 0.02,  0.18};
inline constexpr Likelihood k_reading_step = {0.0004, 0.0004, 0.0004, 0.0004, 0.0004,
                                              0.0004, 0.0004, 0.004,  0.20};
inline constexpr Likelihood k_reading_wild = {0.0002, 0.0002, 0.0002, 0.0002, 0.0002,
                                              0.0002, 0.0002, 0.005,  0.20};
/// Missing a few times, or many, while the rest of the rows is there: no open log of a sound
/// vehicle that we have shows it once.
inline constexpr Likelihood k_reading_gaps[] = {
    /* few  */ {0.010, 0.010, 0.010, 0.010, 0.010, 0.010, 0.010, 0.010, 0.10},
    /* many */ {0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.001, 0.20}};
inline constexpr Likelihood k_reading_frozen = {0.0001, 0.0001, 0.0001, 0.0001, 0.0001,
                                                0.0001, 0.0001, 0.0001, 0.10};
inline constexpr Likelihood k_reading_dead = {0.0001, 0.0001, 0.0001, 0.0001, 0.0001,
                                              0.0001, 0.0001, 0.0001, 0.07};
inline constexpr Likelihood k_dips[] = {
    /* none */ {0.990, 0.985, 0.985, 0.60, 0.99, 0.985, 0.97, 0.25, 0.85},
    /* few  */ {0.008, 0.010, 0.010, 0.20, 0.008, 0.010, 0.02, 0.25, 0.07},
    /* many */ {0.002, 0.005, 0.005, 0.20, 0.002, 0.005, 0.01, 0.50, 0.08}};
inline constexpr Likelihood k_dips_shut[] = {
    /* none */ {0.989, 0.989, 0.989, 0.985, 0.989, 0.989, 0.985, 0.40, 0.90},
    /* few  */ {0.010, 0.010, 0.010, 0.015, 0.010, 0.010, 0.010, 0.15, 0.06},
    /* many */ {0.0005, 0.0005, 0.0005, 0.0005, 0.0005, 0.0005, 0.002, 0.45, 0.04}};
inline constexpr Likelihood k_holds_high = {0.20, 0.20, 0.70, 0.30, 0.05, 0.10, 0.15, 0.10, 0.50};
inline constexpr Likelihood k_holds_low = {0.10, 0.06, 0.10, 0.10, 0.10, 0.10, 0.10, 0.10, 0.65};
inline constexpr Likelihood k_wanders_low = {0.90, 0.94, 0.90, 0.90, 0.90, 0.90, 0.90, 0.90, 0.35};
/// A valve or a sensor shows as soon as the engine comes to its level; a hill, a load or the sun
/// come later, and go.
inline constexpr Likelihood k_hot_from_arrival = {0.06, 0.10, 0.65, 0.50, 0.05,
                                                  0.33, 0.20, 0.20, 0.60};
inline constexpr Likelihood k_hot_later = {0.94, 0.90, 0.35, 0.50, 0.95, 0.67, 0.80, 0.80, 0.40};

} // namespace coolband::likelihoods
