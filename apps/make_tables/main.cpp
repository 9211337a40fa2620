// Prints reference/mould.toml: the light of the scrape test's mould over all resins of the classes. It takes minutes;
// the result is committed, and a test computes some of it again.
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <iostream>

#include "throughcure/exchange/mould_table_file.hpp"

int main(int argc, char** argv) {
  using namespace throughcure;
  constexpr std::uint64_t kPhotons = 3'200'000;
  constexpr std::uint64_t kSeed = 20'049;
  if (argc > 2) {
    std::fprintf(stderr, "throughcure_make_tables [PHOTONS] > reference/mould.toml\n");
    return 2;
  }
  try {
    const std::uint64_t photons = argc == 2 ? std::strtoull(argv[1], nullptr, 10) : kPhotons;
    std::cout << exchange::mould_table_text(
        cure::make_mould_table(photons, kSeed, {.threads = base::hardware_threads()}));
  } catch (const std::exception& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 3;
  }
  return 0;
}
