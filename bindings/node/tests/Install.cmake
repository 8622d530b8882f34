# Packs the package, installs it into a fresh folder without network, and runs the example there.

file(REMOVE_RECURSE ${WORK_DIR})
file(MAKE_DIRECTORY ${WORK_DIR}/app)
execute_process(
    COMMAND ${NPM} pack --silent ${PACKAGE} WORKING_DIRECTORY ${WORK_DIR} OUTPUT_VARIABLE packed
    OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
file(WRITE ${WORK_DIR}/app/package.json "{\"private\": true}\n")
execute_process(
    COMMAND ${NPM} install --offline --ignore-scripts --no-audit --no-fund ../${packed}
    WORKING_DIRECTORY ${WORK_DIR}/app COMMAND_ERROR_IS_FATAL ANY)
foreach(file index.js index.d.ts toprail.node)
    if(NOT EXISTS ${WORK_DIR}/app/node_modules/toprail/${file})
        message(FATAL_ERROR "${file} was not installed")
    endif()
endforeach()
file(COPY ${SOURCE_DIR}/example.js DESTINATION ${WORK_DIR}/app)
execute_process(
    COMMAND ${NODE} ${WORK_DIR}/app/example.js WORKING_DIRECTORY ${SOURCE_DIR}/../..
    COMMAND_ERROR_IS_FATAL ANY)
