// Entry point: avx512_kernel, for AVX-512 (F, BW, DQ, VL).
#include "bulk/kernel.hpp"
#include "bulk/strip_kernel.hpp"

namespace toprail::bulk {
namespace {

using Words = std::uint64_t __attribute__((vector_size(64)));
using Here = Runner<Words, 2>;
using OneByOne = StripRunner<Words>;

}  // namespace

const Kernel avx512_kernel{"avx512",           Here::block_cases, Here::plane_bytes, &Here::run,
                           &OneByOne::outcome, &OneByOne::value,  &OneByOne::write};

}  // namespace toprail::bulk
