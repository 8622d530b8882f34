// Entry points: read_abreast_portable, read_abreast_words, for any processor.
#include "lines/abreast.hpp"

namespace toprail::lines {

bool read_abreast_portable(const Sheet& sheet, const Piece* lines, std::size_t row) {
    return read_abreast<Window>(sheet, lines, row);
}

bool read_abreast_words(const Sheet& sheet, const Piece* lines, std::size_t row) {
    return read_abreast<WordWindow>(sheet, lines, row);
}

}  // namespace toprail::lines
