# Installs the build to a fresh prefix, moves that prefix elsewhere, and makes the outside project
# from it, by find_package (WAY=find-package) or by pkg-config (WAY=pkg-config); with C_SAMPLE, a C
# program, also a project in C that finds the C library.
#
# Moving shows that nothing installed remembers where it was first put. The program then runs in
# the installed share/toprail, so what it reads under rulepacks/ is the installed copy.
#
# Run by ctest as cmake -D ... -P; every variable in capitals below is handed over there.

function(run)
    cmake_parse_arguments(PARSE_ARGV 0 arg "" "IN;OUT" "COMMAND")
    if(NOT arg_IN)
        set(arg_IN ${WORK_DIR})
    endif()
    list(JOIN arg_COMMAND " " shown)
    message(STATUS "${shown}")
    execute_process(
        COMMAND ${arg_COMMAND}
        WORKING_DIRECTORY ${arg_IN}
        OUTPUT_VARIABLE said
        ERROR_VARIABLE complained
        RESULT_VARIABLE status)
    message("${said}${complained}")
    if(NOT status EQUAL 0)
        message(FATAL_ERROR "ended with ${status}: ${shown}")
    endif()
    if(arg_OUT)
        string(STRIP "${said}" said)
        set(${arg_OUT} ${said} PARENT_SCOPE)
    endif()
endfunction()

file(REMOVE_RECURSE ${WORK_DIR})
file(MAKE_DIRECTORY ${WORK_DIR})
set(prefix ${WORK_DIR}/moved)
run(COMMAND ${CMAKE_COMMAND} --install ${BUILD_DIR} --prefix ${WORK_DIR}/first
            --config ${CONFIG})
file(RENAME ${WORK_DIR}/first ${prefix})

# One source file per public header: each must compile alone, with nothing included before it.
file(GLOB_RECURSE headers RELATIVE ${prefix}/${INCLUDEDIR} ${prefix}/${INCLUDEDIR}/*.hpp)
if(NOT headers)
    message(FATAL_ERROR "no public header was installed")
endif()
set(sources "")
foreach(header IN LISTS headers)
    string(MAKE_C_IDENTIFIER ${header} name)
    file(WRITE ${WORK_DIR}/alone/${name}.cpp "#include <${header}>\n")
    list(APPEND sources ${WORK_DIR}/alone/${name}.cpp)
endforeach()
# The program is the one in the README; before there is one, an empty main links all the same.
if(SAMPLE)
    list(APPEND sources ${SAMPLE})
else()
    file(WRITE ${WORK_DIR}/alone/main.cpp "int main() {}\n")
    list(APPEND sources ${WORK_DIR}/alone/main.cpp)
endif()

set(program ${WORK_DIR}/outside/outside)
if(WAY STREQUAL "find-package")
    list(JOIN sources "\\;" escaped)
    run(COMMAND ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR}/outside -B ${WORK_DIR}/outside
                -G ${GENERATOR} -D CMAKE_BUILD_TYPE=${CONFIG} -D CMAKE_CXX_COMPILER=${CXX}
                -D CMAKE_PREFIX_PATH=${prefix} -D OUTSIDE_SOURCES=${escaped})
    run(COMMAND ${CMAKE_COMMAND} --build ${WORK_DIR}/outside)
elseif(WAY STREQUAL "pkg-config")
    set(ENV{PKG_CONFIG_PATH} ${prefix}/${LIBDIR}/pkgconfig)
    run(COMMAND pkg-config --cflags toprail OUT cflags)
    run(COMMAND pkg-config --libs toprail OUT libs)
    separate_arguments(cflags UNIX_COMMAND "${cflags}")
    separate_arguments(libs UNIX_COMMAND "${libs}")
    file(MAKE_DIRECTORY ${WORK_DIR}/outside)
    run(COMMAND ${CXX} -std=c++20 ${cflags} ${sources} -o ${program} ${libs})
    # Each component by its own file, with nothing else named.
    foreach(component IN LISTS COMPONENTS)
        run(COMMAND pkg-config --cflags --libs toprail-${component} OUT flags)
        separate_arguments(flags UNIX_COMMAND "${flags}")
        run(COMMAND ${CXX} -std=c++20 ${CMAKE_CURRENT_LIST_DIR}/components/${component}.cpp -o
                    ${WORK_DIR}/outside/${component} ${flags})
        run(COMMAND ${WORK_DIR}/outside/${component} ${prefix}/${DATADIR}/toprail/rulepacks)
    endforeach()
else()
    message(FATAL_ERROR "WAY is find-package or pkg-config, not \"${WAY}\"")
endif()
run(COMMAND ${program} IN ${prefix}/${DATADIR}/toprail)

# The C library: an archive, and a shared object, found at run time where it now lies.
if(C_SAMPLE)
    if(WAY STREQUAL "find-package")
        foreach(library c c-static)
            set(folder ${WORK_DIR}/outside-${library})
            run(COMMAND ${CMAKE_COMMAND} -S ${CMAKE_CURRENT_LIST_DIR}/outside-c -B ${folder}
                        -G ${GENERATOR} -D CMAKE_BUILD_TYPE=${CONFIG} -D CMAKE_C_COMPILER=${CC}
                        -D CMAKE_CXX_COMPILER=${CXX} -D CMAKE_PREFIX_PATH=${prefix}
                        -D OUTSIDE_SOURCES=${C_SAMPLE} -D OUTSIDE_LIBRARY=${library})
            run(COMMAND ${CMAKE_COMMAND} --build ${folder})
        endforeach()
        run(COMMAND ${WORK_DIR}/outside-c-static/outside IN ${prefix}/${DATADIR}/toprail OUT said)
        if(NOT said STREQUAL "tie-off: undetermined")
            message(FATAL_ERROR "the C program with the archive in it said \"${said}\"")
        endif()
    else()
        run(COMMAND pkg-config --cflags --libs toprail-c OUT flags)
        separate_arguments(flags UNIX_COMMAND "${flags}")
        file(MAKE_DIRECTORY ${WORK_DIR}/outside-c)
        run(COMMAND ${CC} -std=c11 -Wall -Wextra -Wpedantic -Werror ${C_SAMPLE} -o
                    ${WORK_DIR}/outside-c/outside ${flags})
    endif()
    set(ENV{LD_LIBRARY_PATH} ${prefix}/${LIBDIR})
    run(COMMAND ${WORK_DIR}/outside-c/outside IN ${prefix}/${DATADIR}/toprail OUT said)
    if(NOT said STREQUAL "tie-off: undetermined")
        message(FATAL_ERROR "the C program said \"${said}\"")
    endif()
endif()

# The command finds the rulepacks that were installed with it, away from them and from the sources,
# and called by a link; 3 is "undetermined", which the site is.
if(EXISTS ${prefix}/${BINDIR}/toprail)
    file(CREATE_LINK ${prefix}/${BINDIR}/toprail ${WORK_DIR}/linked SYMBOLIC)
    set(site ${prefix}/${DATADIR}/toprail/rulepacks/demo/site.yaml)
    foreach(command ${prefix}/${BINDIR}/toprail ${WORK_DIR}/linked)
        execute_process(
            COMMAND ${command} decide --facts ${site} --on 2024-06-01
            WORKING_DIRECTORY ${WORK_DIR}
            OUTPUT_VARIABLE said
            ERROR_VARIABLE complained
            RESULT_VARIABLE status)
        if(NOT status EQUAL 3 OR NOT said MATCHES "NOT REQUIRED")
            message(FATAL_ERROR "${command} ended with ${status}: ${said}${complained}")
        endif()
    endforeach()
    # What --packs names comes first.
    execute_process(
        COMMAND ${prefix}/${BINDIR}/toprail decide --facts ${site} --on 2024-06-01 --packs none-here
        WORKING_DIRECTORY ${WORK_DIR}
        ERROR_VARIABLE complained
        RESULT_VARIABLE status)
    if(NOT status EQUAL 2 OR NOT complained MATCHES "none-here")
        message(FATAL_ERROR "--packs was not heeded: ${status}: ${complained}")
    endif()
endif()
