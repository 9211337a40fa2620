#include "throughcure/draw/type_setter.hpp"

#include <cairo-pdf.h>

#include "throughcure/base/problem.hpp"
#include "throughcure/draw/type_face.hpp"

namespace throughcure::draw {

namespace {

constexpr double kPointsPerMm = 72 / 25.4;
constexpr const char* kEllipsis = "…";

std::string without_end_blanks(std::string line) {
  line.erase(line.find_last_not_of(" \t\r\n") + 1);
  return line;
}

/// Without its last character.
void shorten(std::string& line) {
  while (!line.empty() && (static_cast<unsigned char>(line.back()) & 0xC0U) == 0x80U) line.pop_back();
  if (!line.empty()) line.pop_back();
}

}  // namespace

struct TypeSetter::Inside {
  Inside() : surface(cairo_pdf_surface_create(nullptr, 100, 100)), context(cairo_create(surface)), layout(nullptr) {
    cairo_scale(context, kPointsPerMm, kPointsPerMm);
    if (cairo_status(context) == CAIRO_STATUS_SUCCESS) layout = type_layout(context);
  }
  ~Inside() {
    layout.reset();
    cairo_destroy(context);
    cairo_surface_destroy(surface);
  }
  Inside(const Inside&) = delete;
  Inside& operator=(const Inside&) = delete;

  void set(const std::string& words, double wanted_mm) {
    if (wanted_mm != size_mm) set_type_size(layout.get(), wanted_mm);
    size_mm = wanted_mm;
    pango_layout_set_text(layout.get(), words.data(), static_cast<int>(words.size()));
  }

  cairo_surface_t* surface;
  cairo_t* context;
  LayoutPtr layout;
  double size_mm = 0;
};

TypeSetter::TypeSetter() : inside_(std::make_unique<Inside>()) {
  if (!inside_->layout) throw base::Failure("there is no memory to set type in");
  pango_layout_set_wrap(inside_->layout.get(), PANGO_WRAP_WORD_CHAR);
}

TypeSetter::~TypeSetter() = default;

double TypeSetter::width_mm(const std::string& words, double size_mm) const {
  inside_->set(words, size_mm);
  pango_layout_set_width(inside_->layout.get(), -1);
  int width = 0;
  pango_layout_get_size(inside_->layout.get(), &width, nullptr);
  return static_cast<double>(width) / PANGO_SCALE;
}

std::vector<std::string> TypeSetter::lines(const std::string& words, double size_mm, double most_mm) const {
  inside_->set(words, size_mm);
  pango_layout_set_width(inside_->layout.get(), static_cast<int>(most_mm * PANGO_SCALE));
  std::vector<std::string> found;
  const int count = pango_layout_get_line_count(inside_->layout.get());
  for (int i = 0; i < count; ++i) {
    const PangoLayoutLine* const line = pango_layout_get_line_readonly(inside_->layout.get(), i);
    found.push_back(without_end_blanks(
        words.substr(static_cast<std::size_t>(line->start_index), static_cast<std::size_t>(line->length))));
  }
  if (found.empty()) found.emplace_back();
  return found;
}

std::vector<std::string> TypeSetter::lines(const std::string& words, double size_mm, double most_mm,
                                           std::size_t most_lines) const {
  std::vector<std::string> found = lines(words, size_mm, most_mm);
  if (found.size() <= most_lines) return found;
  found.resize(most_lines);
  std::string& last = found.back();
  while (!last.empty() && width_mm(last + kEllipsis, size_mm) > most_mm) shorten(last);
  last = without_end_blanks(last) + kEllipsis;
  return found;
}

}  // namespace throughcure::draw
