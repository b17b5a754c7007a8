# Man pages and completions, written by the program's own --help; the target `manual` is part of a usual build.
find_package(Python3 3.9 QUIET COMPONENTS Interpreter)
if(NOT Python3_Interpreter_FOUND OR CMAKE_CROSSCOMPILING)
  message(WARNING "No Python 3.9 or newer that could run the program built here: "
                  "man pages and completions are left out")
  return()
endif()

set(COOLBAND_MANUAL_DIR ${PROJECT_BINARY_DIR}/manual)
file(GLOB manual_inputs CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/*.py ${PROJECT_SOURCE_DIR}/docs/man/*.md)
add_custom_command(
  OUTPUT ${PROJECT_BINARY_DIR}/manual.stamp
  # -B: no bytecode in the source.
  COMMAND Python3::Interpreter -B ${CMAKE_CURRENT_LIST_DIR}/make_manual.py $<TARGET_FILE:coolband_program>
          ${PROJECT_SOURCE_DIR}/docs/man ${PROJECT_SOURCE_DIR}/docs/debian/changelog ${COOLBAND_MANUAL_DIR}
  COMMAND ${CMAKE_COMMAND} -E touch ${PROJECT_BINARY_DIR}/manual.stamp
  DEPENDS coolband_program ${PROJECT_SOURCE_DIR}/docs/debian/changelog ${manual_inputs}
  COMMENT "Writing man pages and completions"
  VERBATIM)
add_custom_target(manual ALL DEPENDS ${PROJECT_BINARY_DIR}/manual.stamp)

install(DIRECTORY ${COOLBAND_MANUAL_DIR}/man1 DESTINATION ${CMAKE_INSTALL_MANDIR} COMPONENT program)
install(FILES ${COOLBAND_MANUAL_DIR}/bash/coolband
        DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions COMPONENT program)
install(FILES ${COOLBAND_MANUAL_DIR}/zsh/_coolband
        DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/site-functions COMPONENT program)
install(FILES ${COOLBAND_MANUAL_DIR}/fish/coolband.fish
        DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d COMPONENT program)
