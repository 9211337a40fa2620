#include "throughcure/optics/mode.hpp"

#include <algorithm>
#include <cmath>

namespace throughcure::optics {

namespace {

double at(const Continuous& course, double /*seconds*/) { return course.share; }
double at(const Ramp& course, double seconds) {
  return std::lerp(course.from_share, course.to_share, std::min(1.0, seconds / course.rise_s));
}
double at(const Pulsed& course, double seconds) {
  return std::fmod(seconds, course.on_s + course.off_s) < course.on_s ? course.share : 0;
}
double at(const TwoLevel& course, double seconds) {
  return seconds < course.first_s ? course.first_share : course.then_share;
}

double sum(const Continuous& course, double seconds) { return course.share * seconds; }
double sum(const Ramp& course, double seconds) {
  const double rising = std::min(seconds, course.rise_s);
  return rising * (course.from_share + at(course, rising)) / 2 + (seconds - rising) * course.to_share;
}
double sum(const Pulsed& course, double seconds) {
  const double period = course.on_s + course.off_s;
  const double whole = std::floor(seconds / period);
  return course.share * (whole * course.on_s + std::min(seconds - whole * period, course.on_s));
}
double sum(const TwoLevel& course, double seconds) {
  const double first = std::min(seconds, course.first_s);
  return first * course.first_share + (seconds - first) * course.then_share;
}

}  // namespace

double share_at(const Course& course, double seconds) {
  return std::visit([seconds](const auto& one) { return at(one, seconds); }, course);
}

double full_seconds(const Course& course, double seconds) {
  return std::visit([seconds](const auto& one) { return sum(one, seconds); }, course);
}

}  // namespace throughcure::optics
