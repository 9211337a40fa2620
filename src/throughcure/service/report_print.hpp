// The month's report as a print: a page in sentences, then a page for each light.
#pragma once

#include "throughcure/desk/month_report.hpp"
#include "throughcure/draw/paint_pdf.hpp"

namespace throughcure::service {

draw::Print report_print(const desk::MonthReport& report, base::Instant now);

}  // namespace throughcure::service
