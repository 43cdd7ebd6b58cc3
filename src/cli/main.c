/*
 * main.c - boreline: finds the command and hands over.
 */
#include "cli/console.h"
#include "cli/request.h"

#include <signal.h>
#include <string.h>

#define COMMANDS_MAX 16

/* The commands by name, ended by a row without one. */
static size_t list_commands(command *out) {
    const command *const all[] = {
        &command_check, &command_measure, &command_assess, &command_plot,
        &command_plan,  &command_compare, &command_inflow, &command_record};
    size_t count = sizeof all / sizeof all[0];
    for (size_t i = 0; i < count; i++) {
        out[i] = *all[i];
    }
    out[count] = (command){.name = NULL};
    return count;
}

static int run_command(const command *of, int count, char **arguments) {
    request wanted;
    int status = request_parse(of, count, arguments, &wanted);
    if (status == 0) {
        status = wanted.help ? help_command(of) : of->run(&wanted);
    }
    request_free(&wanted);
    return status;
}

int main(int count, char **arguments) {
    command commands[COMMANDS_MAX];
    size_t known = list_commands(commands);
    /* A closed pipe is then a write that fails, and is said like any other. */
    (void)signal(SIGPIPE, SIG_IGN);
    if (count < 2) {
        return console_usage("a command is missing; see 'boreline --help'");
    }
    const char *name = arguments[1];
    if (strcmp(name, "--help") == 0 || strcmp(name, "-h") == 0) {
        return help_program(commands);
    }
    if (strcmp(name, "--version") == 0) {
        return console_print("boreline " BL_VERSION "\n");
    }
    for (size_t i = 0; i < known; i++) {
        if (strcmp(name, commands[i].name) == 0) {
            return run_command(&commands[i], count - 1, arguments + 1);
        }
    }
    return console_usage("there is no command '%s'; see 'boreline --help'",
                         name);
}
