# Takes a program out of a Markdown page, so that what the page shows is what gets compiled.

# Writes to `output` the ```cpp block (or that of another language, named last) that follows the line `<!-- sample: name -->` in `page`.
# A page without that mark, or a mark without a block right after it, stops the configuration.
# An edited page configures again; an unchanged program keeps its time stamp.
function(toprail_extract_sample page name output)
    set(languages cpp ${ARGN})
    list(POP_BACK languages language)
    set_property(DIRECTORY APPEND PROPERTY CMAKE_CONFIGURE_DEPENDS ${page})
    file(READ ${page} text)
    set(mark "<!-- sample: ${name} -->")
    string(FIND "${text}" "${mark}" at)
    if(at EQUAL -1)
        message(FATAL_ERROR "${page} has no line \"${mark}\"")
    endif()
    string(SUBSTRING "${text}" ${at} -1 text)

    set(open "```${language}\n")
    set(close "\n```")
    string(FIND "${text}" "${open}" begin)
    string(LENGTH "${mark}" mark_length)
    string(LENGTH "${open}" open_length)
    if(NOT begin EQUAL -1)
        math(EXPR gap_length "${begin} - ${mark_length}")
        string(SUBSTRING "${text}" ${mark_length} ${gap_length} gap)
        string(STRIP "${gap}" gap)
        math(EXPR begin "${begin} + ${open_length}")
        string(SUBSTRING "${text}" ${begin} -1 text)
        string(FIND "${text}" "${close}" end)
    endif()
    if(begin EQUAL -1 OR NOT gap STREQUAL "" OR end EQUAL -1)
        message(FATAL_ERROR "${page}: no closed ```${language} block right after \"${mark}\"")
    endif()
    string(SUBSTRING "${text}" 0 ${end} program)

    file(WRITE ${output}.new "${program}\n")
    file(COPY_FILE ${output}.new ${output} ONLY_IF_DIFFERENT)
    file(REMOVE ${output}.new)
endfunction()
