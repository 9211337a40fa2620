// A light's output over time for its printed page: what its page in the browser shows, in ink.
#pragma once

#include "throughcure/desk/month_report.hpp"
#include "throughcure/draw/time_chart.hpp"

namespace throughcure::service {

/// Readings of two years at most, and the forecast. Nothing to draw: no dots and no band.
draw::TimeChart light_month_chart(const desk::LightMonth& light);

}  // namespace throughcure::service
