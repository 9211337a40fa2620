// A print read back by others than who made it: its words by poppler, its squares by zbar.
#pragma once

#include <cstdint>
#include <cstdio>
#include <fstream>
#include <memory>
#include <set>
#include <sstream>
#include <stdexcept>
#include <string>
#include <vector>

#include <zbar.h>

#include "service/scratch_folder.hpp"

namespace throughcure::tests {

/// Runs one of poppler's tools over the PDF in a folder of its own; gives what it printed.
inline std::string run_poppler(const ScratchFolder& folder, const std::string& tool, const std::string& pdf) {
  std::ofstream(folder.path() / "print.pdf", std::ios::binary) << pdf;
  const std::string command = "cd " + folder.path().string() + " && " + tool;
  const std::unique_ptr<FILE, int (*)(FILE*)> pipe(::popen(command.c_str(), "r"), &::pclose);
  if (!pipe) throw std::runtime_error("no " + tool);
  std::string out;
  for (int c = std::fgetc(pipe.get()); c != EOF; c = std::fgetc(pipe.get())) out.push_back(static_cast<char>(c));
  return out;
}

/// The words of each page, as they lie on it.
inline std::vector<std::string> words_of_pages(const std::string& pdf) {
  const ScratchFolder folder;
  std::istringstream text(run_poppler(folder, "pdftotext -layout print.pdf -", pdf));
  std::vector<std::string> pages;
  for (std::string page; std::getline(text, page, '\f');) pages.push_back(page);
  return pages;
}

/// All words with single blanks between them.
inline std::string words_in_a_row(const std::string& pdf) {
  const ScratchFolder folder;
  std::istringstream text(run_poppler(folder, "pdftotext print.pdf -", pdf));
  std::string all;
  for (std::string word; text >> word;) all += (all.empty() ? "" : " ") + word;
  return all;
}

/// What pdfinfo says of it.
inline std::string facts_of(const std::string& pdf) {
  const ScratchFolder folder;
  return run_poppler(folder, "pdfinfo print.pdf", pdf);
}

struct GreyPage {
  unsigned width = 0;
  unsigned height = 0;
  std::string pixels;  ///< one byte each, 0 black
};

inline GreyPage grey_page(const std::string& pdf, int page, int dots_per_inch) {
  const ScratchFolder folder;
  const std::string at = std::to_string(page);
  const std::string bytes = run_poppler(
      folder, "pdftoppm -gray -r " + std::to_string(dots_per_inch) + " -f " + at + " -l " + at + " print.pdf", pdf);
  std::istringstream in(bytes);
  std::string magic;
  unsigned most = 0;
  GreyPage grey;
  in >> magic >> grey.width >> grey.height >> most;
  in.get();
  if (magic != "P5" || most != 255) throw std::runtime_error("pdftoppm gave no grey picture");
  grey.pixels = bytes.substr(static_cast<std::size_t>(in.tellg()));
  return grey;
}

/// What the squares on a page say.
inline std::multiset<std::string> squares_on(const GreyPage& page) {
  zbar::ImageScanner scanner;
  scanner.set_config(zbar::ZBAR_NONE, zbar::ZBAR_CFG_ENABLE, 0);
  scanner.set_config(zbar::ZBAR_QRCODE, zbar::ZBAR_CFG_ENABLE, 1);
  zbar::Image image(page.width, page.height, "Y800", page.pixels.data(), page.pixels.size());
  scanner.scan(image);
  std::multiset<std::string> found;
  for (auto symbol = image.symbol_begin(); symbol != image.symbol_end(); ++symbol) found.insert(symbol->get_data());
  return found;
}

}  // namespace throughcure::tests
