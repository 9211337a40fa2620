#include "throughcure/practice/merkle_proof.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "ct_vectors.hpp"
#include "throughcure/base/problem.hpp"

namespace throughcure::practice {
namespace {

/// A leaf (from 0) of the first `size` of the published leaves, and its proof.
struct Inclusion {
  std::size_t leaf;
  std::size_t size;
  Proof proof;
};

/// The trees over the first `first` and the first `size` of the published leaves.
struct Consistency {
  std::size_t first;
  std::size_t size;
  Proof proof;
};

constexpr std::string_view k01 = "fac54203e7cc696cf0dfcb42c92a1d9dbaf70ad9e621f4bd8d98662f00e3c125";
constexpr std::string_view k23 = "5f083f0a1a33ca076a95279832580db3e0ef4584bdff1f54c8a360f50de3031e";
constexpr std::string_view k45 = "0ebc5d3437fbe2db158b9f126a1d118e308181031d0a949f8dededebc558ef6a";
constexpr std::string_view k67 = "ca854ea128ed050b41b35ffc1b87b8eb2bde461e9e3b5596ece6b9d5975a0ae0";
constexpr std::string_view k0123 = "d37ee418976dd95753c1c73862b9398fa2a2cf9b4ff0fdfe8b30cd95209614b7";
constexpr std::string_view k4567 = "6b47aaf29ee3c2af9af889bc1fb9254dabd31177f16232dd6aab035ca39bf6e4";

// The first two are published with the leaves; the last two were computed with an independent program.
TEST(InclusionProof, OfThePublishedVectors) {
  const std::vector<Inclusion> vectors{
      {0, 8, digests({kCtLeafHashes[1], k23, k4567})},
      {5, 8, digests({kCtLeafHashes[4], k67, k0123})},
      {2, 3, digests({k01})},
      {1, 5, digests({kCtLeafHashes[0], k23, kCtLeafHashes[4]})},
  };
  for (const Inclusion& v : vectors) {
    EXPECT_EQ(inclusion_proof(ct_leaf_hashes(v.size), v.leaf), v.proof) << v.leaf << " of " << v.size;
    EXPECT_TRUE(is_included(digest(kCtLeafHashes.at(v.leaf)), v.leaf, v.size, digest(kCtRoots.at(v.size)), v.proof));
  }
}

// Published with the leaves.
TEST(ConsistencyProof, OfThePublishedVectors) {
  const std::vector<Consistency> vectors{
      {1, 1, {}},
      {1, 8, digests({kCtLeafHashes[1], k23, k4567})},
      {6, 8, digests({k45, k67, k0123})},
      {2, 5, digests({k23, kCtLeafHashes[4]})},
  };
  for (const Consistency& v : vectors) {
    EXPECT_EQ(consistency_proof(ct_leaf_hashes(v.size), v.first), v.proof) << v.first << " to " << v.size;
    EXPECT_TRUE(is_consistent(v.first, digest(kCtRoots.at(v.first)), v.size, digest(kCtRoots.at(v.size)), v.proof));
  }
}

// Every leaf of every tree up to 33 leaves; and no proof serves for another leaf, place or root.
TEST(InclusionProof, HoldsForItsLeafOnly) {
  const std::vector<Digest> leaves = numbered_leaves(33);
  for (std::size_t n = 1; n <= leaves.size(); ++n) {
    const std::span<const Digest> tree(leaves.data(), n);
    const Digest root = merkle_root(tree);
    for (std::size_t i = 0; i < n; ++i) {
      const Proof proof = inclusion_proof(tree, i);
      ASSERT_TRUE(is_included(leaves[i], i, n, root, proof)) << i << " of " << n;
      for (std::size_t other = 0; other < n; ++other) {
        if (other == i) continue;
        ASSERT_FALSE(is_included(leaves[other], i, n, root, proof));
        ASSERT_FALSE(is_included(leaves[i], other, n, root, proof));
      }
      ASSERT_FALSE(is_included(leaves[i], i, n, leaves[i], proof) && n > 1);
    }
  }
}

TEST(ConsistencyProof, HoldsForItsTreesOnly) {
  const std::vector<Digest> leaves = numbered_leaves(33);
  const auto root_of = [&](std::size_t n) { return merkle_root(std::span(leaves.data(), n)); };
  for (std::size_t n = 0; n <= leaves.size(); ++n) {
    for (std::size_t m = 0; m <= n; ++m) {
      const Proof proof = consistency_proof(std::span(leaves.data(), n), m);
      ASSERT_TRUE(is_consistent(m, root_of(m), n, root_of(n), proof)) << m << " to " << n;
      ASSERT_FALSE(is_consistent(m, leaf_hash("forged"), n, root_of(n), proof)) << m << " to " << n;
      // From the empty log any has grown.
      ASSERT_EQ(is_consistent(m, root_of(m), n, leaf_hash("forged"), proof), m == 0 && n > 0) << m << " to " << n;
    }
  }
}

// A proof with one bit turned, one hash more or one less proves nothing.
RC_GTEST_PROP(Proofs, AlteredProveNothing, ()) {
  const auto n = *rc::gen::inRange<std::size_t>(2, 200);
  const auto i = *rc::gen::inRange<std::size_t>(0, n);
  const auto m = *rc::gen::inRange<std::size_t>(1, n);
  const std::vector<Digest> leaves = numbered_leaves(n);
  const Digest root = merkle_root(leaves);
  const Digest first_root = merkle_root(std::span(leaves.data(), m));
  const Proof inclusion = inclusion_proof(leaves, i);
  const Proof consistency = consistency_proof(leaves, m);
  const auto altered = [](Proof proof) {
    const int how = *rc::gen::inRange(0, 3);
    if (how == 0) proof.push_back(leaf_hash("more"));
    if (how == 1) proof.pop_back();
    if (how == 2) {
      const auto hash = *rc::gen::inRange<std::size_t>(0, proof.size());
      const auto byte = *rc::gen::inRange<std::size_t>(0, 32);
      proof[hash][byte] ^= static_cast<std::uint8_t>(1U << *rc::gen::inRange(0U, 8U));
    }
    return proof;
  };
  RC_ASSERT(!is_included(leaves[i], i, n, root, altered(inclusion)));
  RC_ASSERT(!is_consistent(m, first_root, n, root, altered(consistency)));
}

// Sizes that no log has: the walk ends, and says no.
TEST(Proofs, OfAnySizeAreAnswered) {
  const Digest a = leaf_hash("a");
  const Proof long_proof(70, a);
  constexpr std::uint64_t huge = ~std::uint64_t{0};
  EXPECT_FALSE(is_included(a, huge - 1, huge, a, long_proof));
  EXPECT_FALSE(is_included(a, huge, huge, a, long_proof));
  EXPECT_FALSE(is_included(a, 0, 0, a, {}));
  EXPECT_FALSE(is_consistent(huge - 1, a, huge, a, long_proof));
  EXPECT_FALSE(is_consistent(huge, a, huge - 1, a, {}));
  EXPECT_FALSE(is_consistent(3, a, 7, a, {}));
}

TEST(Proofs, OfWhatIsNotThereAreRefused) {
  EXPECT_THROW((void)inclusion_proof({}, 0), base::Failure);
  EXPECT_THROW((void)inclusion_proof(ct_leaf_hashes(3), 3), base::Failure);
  EXPECT_THROW((void)consistency_proof(ct_leaf_hashes(3), 4), base::Failure);
}

}  // namespace
}  // namespace throughcure::practice
