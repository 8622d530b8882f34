// Entry point: read_abreast_avx2, for AVX2.
#include "lines/abreast.hpp"

#include <immintrin.h>

namespace toprail::lines {
namespace {

struct Avx2Window {
    __m256i all;

    Avx2Window() : all(_mm256_setzero_si256()) {}
    explicit Avx2Window(__m256i a) : all(a) {}

    static Avx2Window load(const void* from) {
        return Avx2Window(_mm256_loadu_si256(static_cast<const __m256i*>(from)));
    }
    [[nodiscard]] std::uint32_t where(unsigned char byte) const {
        return tops(_mm256_cmpeq_epi8(all, _mm256_set1_epi8(static_cast<char>(byte))));
    }
    [[nodiscard]] std::uint32_t where_odd() const {
        // What is not ASCII is below zero.
        return tops(_mm256_cmpgt_epi8(_mm256_set1_epi8(0x20), all));
    }
    static std::size_t lowest(std::uint32_t bits) { return _tzcnt_u64(bits); }
    [[nodiscard]] Avx2Window up_to(std::size_t last) const {
        return *this & load(first_bytes + (last ^ 31U));
    }
    [[nodiscard]] std::uint64_t word() const {
        return static_cast<std::uint64_t>(_mm_cvtsi128_si64(_mm256_castsi256_si128(all)));
    }
    [[nodiscard]] std::uint32_t where_set() const { return ~where(0); }

    friend Avx2Window operator^(const Avx2Window& a, const Avx2Window& b) {
        return Avx2Window(_mm256_xor_si256(a.all, b.all));
    }
    friend Avx2Window operator&(const Avx2Window& a, const Avx2Window& b) {
        return Avx2Window(_mm256_and_si256(a.all, b.all));
    }
    friend Avx2Window operator|(const Avx2Window& a, const Avx2Window& b) {
        return Avx2Window(_mm256_or_si256(a.all, b.all));
    }

  private:
    static std::uint32_t tops(__m256i bytes) {
        return static_cast<std::uint32_t>(_mm256_movemask_epi8(bytes));
    }
};

}  // namespace

bool read_abreast_avx2(const Sheet& sheet, const Piece* lines, std::size_t row) {
    return read_abreast<Avx2Window>(sheet, lines, row);
}

}  // namespace toprail::lines
