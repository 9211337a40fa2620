// How many checks pass until a chart raises an alarm, on the mean: the price of its settings in false alarms.
#pragma once

#include <cstdint>

#include "throughcure/fleet/cusum.hpp"
#include "throughcure/fleet/ewma.hpp"
#include "throughcure/fleet/individuals.hpp"

namespace throughcure::fleet {

/// Mean number of checks up to and with the first alarm, for independent normal values whose mean lies `shift` sigma
/// from the target, with target and sigma known; from a fresh start. Settings whose alarms are further apart than 1e9
/// checks give 1e9.
///
/// Both solve the integral equation of the run length by Gauss and Legendre's quadrature (Vance 1986, J. Quality
/// Technology 18; Crowder 1987, Technometrics 29); the two sides of the CUSUM join as 1/ARL = 1/ARL+ + 1/ARL-.
/// Tested against the tables of Lucas and Crosier 1982, Lucas and Saccucci 1990, and Crowder 1987.
double average_run_length(const CusumSettings& settings, double shift);
double average_run_length(const EwmaSettings& settings, double shift);

/// The same by simulation, for its runs and moving ranges: mean of `runs` histories, each of at most 100,000 checks.
double average_run_length(const IndividualsSettings& settings, double shift, std::uint64_t runs, std::uint64_t seed);

}  // namespace throughcure::fleet
