// Many draws of the media at once: the lanes of a vector are draws, every hit is read once for all of them. Compiled
// for each vector set that the machine may have; which one runs is found out when it runs.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "throughcure/transport/response.hpp"

#undef HWY_TARGET_INCLUDE
#define HWY_TARGET_INCLUDE "throughcure/transport/response_draws.cpp"
// clang-format off: the order matters
#include <hwy/foreach_target.h>  // compiles what is below once for each vector set
#include <hwy/highway.h>
#include <hwy/contrib/math/math-inl.h>
// clang-format on

#ifndef THROUGHCURE_TRANSPORT_DRAWS_ONCE
#define THROUGHCURE_TRANSPORT_DRAWS_ONCE
namespace throughcure::transport {

/// Draws that are worked on together: two vectors of the widest set.
inline constexpr std::size_t kDrawsTogether = 32;

/// Hits as the kernel reads them. A hit's row holds the lengths [mm] and collisions that some draw weighs.
struct HitTable {
  std::size_t columns = 0;
  std::vector<float> rows;                ///< [hit][column]
  std::vector<float> shares;              ///< by hit [1/mm2]
  std::vector<float> log_weights;         ///< by hit
  std::vector<std::size_t> batch_starts;  ///< index of each batch's first hit, with the number of hits at the end
};

/// What comes of kDrawsTogether draws: sums of v * share by batch, of v, and of v^2.
struct DrawSums {
  std::vector<double> by_batch;  ///< [batch][draw]
  std::vector<double> weights = std::vector<double>(kDrawsTogether);
  std::vector<double> squares = std::vector<double>(kDrawsTogether);
};

}  // namespace throughcure::transport
#endif

HWY_BEFORE_NAMESPACE();
namespace throughcure::transport::HWY_NAMESPACE {

namespace hn = hwy::HWY_NAMESPACE;

/// `factors`: [column][draw], what a hit's row is multiplied with to give the logarithm of its weight.
void SumDraws(const HitTable& table, const float* HWY_RESTRICT factors, DrawSums& sums) {
  const hn::CappedTag<float, kDrawsTogether / 2> lanes;
  using V = hn::Vec<decltype(lanes)>;
  const std::size_t width = hn::Lanes(lanes);
  // Two vectors side by side: while one waits for its exponential the other goes on.
  for (std::size_t first = 0; first < kDrawsTogether; first += 2 * width) {
    const float* HWY_RESTRICT left = factors + first;
    const float* HWY_RESTRICT right = left + width;
    for (std::size_t b = 0; b + 1 < table.batch_starts.size(); ++b) {
      V shares1 = hn::Zero(lanes);
      V weights1 = shares1;
      V squares1 = shares1;
      V shares2 = shares1;
      V weights2 = shares1;
      V squares2 = shares1;
      for (std::size_t h = table.batch_starts[b]; h < table.batch_starts[b + 1]; ++h) {
        const float* HWY_RESTRICT row = table.rows.data() + h * table.columns;
        V v1 = hn::Set(lanes, table.log_weights[h]);
        V v2 = v1;
        for (std::size_t c = 0; c < table.columns; ++c) {
          const V x = hn::Set(lanes, row[c]);
          v1 = hn::MulAdd(hn::LoadU(lanes, left + c * kDrawsTogether), x, v1);
          v2 = hn::MulAdd(hn::LoadU(lanes, right + c * kDrawsTogether), x, v2);
        }
        v1 = hn::Exp(lanes, v1);
        v2 = hn::Exp(lanes, v2);
        const V share = hn::Set(lanes, table.shares[h]);
        shares1 = hn::MulAdd(v1, share, shares1);
        shares2 = hn::MulAdd(v2, share, shares2);
        weights1 = hn::Add(weights1, v1);
        weights2 = hn::Add(weights2, v2);
        squares1 = hn::MulAdd(v1, v1, squares1);
        squares2 = hn::MulAdd(v2, v2, squares2);
      }
      float each[3][kDrawsTogether];
      hn::StoreU(shares1, lanes, each[0]);
      hn::StoreU(shares2, lanes, each[0] + width);
      hn::StoreU(weights1, lanes, each[1]);
      hn::StoreU(weights2, lanes, each[1] + width);
      hn::StoreU(squares1, lanes, each[2]);
      hn::StoreU(squares2, lanes, each[2] + width);
      for (std::size_t k = 0; k < 2 * width; ++k) {
        sums.by_batch[b * kDrawsTogether + first + k] = static_cast<double>(each[0][k]);
        sums.weights[first + k] += static_cast<double>(each[1][k]);
        sums.squares[first + k] += static_cast<double>(each[2][k]);
      }
    }
  }
}

}  // namespace throughcure::transport::HWY_NAMESPACE
HWY_AFTER_NAMESPACE();

#if HWY_ONCE
namespace throughcure::transport {

namespace {

HWY_EXPORT(SumDraws);

/// A column of the table: the length in a medium or the collisions in it.
struct Column {
  std::size_t medium = 0;
  bool collisions = false;
};

double factor_of(const LogWeight& w, const Column& column) {
  return column.collisions ? w.per_collision[column.medium] : -w.per_mm[column.medium];
}

/// Only what some draw weighs.
std::vector<Column> columns_in_use(std::size_t media, const std::vector<LogWeight>& draws) {
  std::vector<Column> columns;
  for (std::size_t m = 0; m < media; ++m) {
    for (const bool collisions : {false, true}) {
      for (const LogWeight& w : draws) {
        if (factor_of(w, {m, collisions}) == 0) continue;
        columns.push_back({m, collisions});
        break;
      }
    }
  }
  return columns;
}

HitTable table_of(const Hits& hits, const std::vector<Column>& columns) {
  HitTable table;
  table.columns = columns.size();
  table.rows.reserve(hits.share_per_mm2.size() * columns.size());
  table.shares.reserve(hits.share_per_mm2.size());
  table.batch_starts.assign(hits.batches + 1, hits.share_per_mm2.size());
  std::uint32_t next_batch = 0;
  for (std::size_t h = 0; h < hits.share_per_mm2.size(); ++h) {
    for (; next_batch <= hits.batch[h]; ++next_batch) table.batch_starts[next_batch] = h;
    table.shares.push_back(static_cast<float>(hits.share_per_mm2[h]));
    table.log_weights.push_back(hits.log_weight.empty() ? 0 : hits.log_weight[h]);
    for (const Column& c : columns) {
      const std::size_t at = h * hits.media + c.medium;
      table.rows.push_back(c.collisions ? static_cast<float>(hits.collisions[at]) : hits.lengths_mm[at]);
    }
  }
  return table;
}

}  // namespace

std::vector<Reweighted> reweighted(const Hits& hits, std::span<const MediaChange> changes) {
  std::vector<LogWeight> draws;
  draws.reserve(changes.size());
  for (const MediaChange& change : changes) draws.push_back(log_weight(hits.media, change));
  const std::vector<Column> columns = columns_in_use(hits.media, draws);
  const HitTable table = table_of(hits, columns);

  std::vector<Reweighted> result;
  result.reserve(draws.size());
  std::vector<float> factors(columns.size() * kDrawsTogether);
  std::vector<double> by_batch(hits.batches);
  for (std::size_t first = 0; first < draws.size(); first += kDrawsTogether) {
    const std::size_t count = std::min(kDrawsTogether, draws.size() - first);
    for (std::size_t c = 0; c < columns.size(); ++c) {
      for (std::size_t d = 0; d < count; ++d) {
        factors[c * kDrawsTogether + d] = static_cast<float>(factor_of(draws[first + d], columns[c]));
      }
    }
    DrawSums sums;
    sums.by_batch.resize(hits.batches * kDrawsTogether);
    HWY_DYNAMIC_DISPATCH(SumDraws)(table, factors.data(), sums);
    for (std::size_t d = 0; d < count; ++d) {
      for (std::size_t b = 0; b < hits.batches; ++b) by_batch[b] = sums.by_batch[b * kDrawsTogether + d];
      result.push_back(
          reweighted_from(total_of_batches(by_batch), table.shares.size(), sums.weights[d], sums.squares[d]));
    }
  }
  return result;
}

}  // namespace throughcure::transport
#endif
