#include "throughcure/practice/merkle.hpp"

#include <bit>
#include <string>
#include <utility>

#include "throughcure/base/problem.hpp"

namespace throughcure::practice {

namespace {

constexpr std::string_view kLeaf{"\0", 1};
constexpr std::string_view kNode{"\1", 1};

}  // namespace

Digest leaf_hash(std::string_view leaf) { return sha256({kLeaf, leaf}); }

Digest node_hash(const Digest& left, const Digest& right) { return sha256({kNode, bytes_of(left), bytes_of(right)}); }

Digest merkle_root(std::span<const Digest> leaves) {
  if (leaves.empty()) return sha256({});
  if (leaves.size() == 1) return leaves.front();
  const std::size_t split = std::bit_floor(leaves.size() - 1);
  return node_hash(merkle_root(leaves.first(split)), merkle_root(leaves.subspan(split)));
}

RightEdge::RightEdge(std::uint64_t size, std::vector<Digest> subtrees) : size_(size), subtrees_(std::move(subtrees)) {
  if (std::cmp_equal(std::popcount(size_), subtrees_.size())) return;
  throw base::Failure("the audit log's right edge is damaged: a log of " + std::to_string(size_) + " changes has " +
                      std::to_string(std::popcount(size_)) + " subtrees, not " + std::to_string(subtrees_.size()));
}

void RightEdge::append(const Digest& leaf) {
  Digest carried = leaf;
  // As adding 1 to a binary number carries: equal subtrees join from the right.
  for (std::uint64_t digits = size_; (digits & 1) == 1; digits >>= 1) {
    carried = node_hash(subtrees_.back(), carried);
    subtrees_.pop_back();
  }
  subtrees_.push_back(carried);
  ++size_;
}

Digest RightEdge::root() const {
  if (subtrees_.empty()) return sha256({});
  Digest root = subtrees_.back();
  for (auto larger = subtrees_.rbegin() + 1; larger != subtrees_.rend(); ++larger) root = node_hash(*larger, root);
  return root;
}

}  // namespace throughcure::practice
