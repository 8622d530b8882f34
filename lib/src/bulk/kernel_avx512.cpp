// Entry point: avx512_kernel, for AVX-512 (F, BW, DQ, VL).
#include "bulk/kernel.hpp"

namespace toprail::bulk {
namespace {

using Words = std::uint64_t __attribute__((vector_size(64)));
using Here = Runner<Words, 2>;

}  // namespace

const Kernel avx512_kernel{"avx512", Here::block_cases, Here::plane_bytes, &Here::run};

}  // namespace toprail::bulk
