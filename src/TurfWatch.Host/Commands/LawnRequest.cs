using System.CommandLine;
using NodaTime;
using TurfWatch.Core;

namespace TurfWatch.Host.Commands;

/// <summary>A lawn and its journal as they are typed for one answer: by options, by a lawn file, or both.</summary>
/// <param name="Lawn">The lawn.</param>
/// <param name="Record">Its journal.</param>
/// <param name="Clock">The clock, moved by <c>--at</c>.</param>
internal sealed record LawnRequest(Lawn Lawn, LawnRecord Record, TimeProvider Clock)
{
    public Instant Now => Instant.FromDateTimeOffset(Clock.GetUtcNow());

    public LocalDate Today => Now.InZone(Lawn.Place.Zone).Date;

    /// <summary>The options of a request.</summary>
    public sealed class Options
    {
        private readonly Option<string> _zip = SubscribersCommand.ZipOption();
        private readonly Option<string?> _file = new("--lawn")
        {
            Description =
                "JSON file that describes the lawn with the words of the options below, and a journal: { \"grass\": \"bermuda\", \"journal\": [ { \"what\": \"mowed\", \"on\": \"2026-05-31\", \"amount\": \"2.5in\" } ] }.",
            HelpName = "FILE",
        };
        private readonly Option<string?> _at = AtOption.Create();
        private readonly List<Option<string?>> _words = LawnArguments.Create();

        public void AddTo(Command command)
        {
            command.Options.Add(_zip);
            command.Options.Add(_file);
            command.Options.Add(_at);
            _words.ForEach(command.Options.Add);
        }

        /// <exception cref="MisuseException">Something cannot be used; all of it is told.</exception>
        public LawnRequest Read(ParseResult parse, Terminal terminal, List<string> faults)
        {
            var file = parse.GetValue(_file) is { } path
                ? LawnFile.Read(Path.GetFullPath(path, terminal.Folder), faults)
                : LawnFile.Empty;
            var lawn = LawnArguments.Read(
                parse,
                parse.GetValue(_zip)!,
                _words,
                faults,
                file.Described
            );
            var clock = AtOption.Clock(parse, _at, terminal);
            if (faults.Count > 0)
            {
                throw new MisuseException(faults);
            }

            var request = new LawnRequest(lawn!, new(file.Journal), clock);
            if (file.Journal.LastOrDefault() is { } last && last.Date > request.Today)
            {
                throw new MisuseException(
                    $"the journal of the lawn file ends on {last.Date:uuuu-MM-dd}, which is still to come at the lawn (today is {request.Today:uuuu-MM-dd}); write down what has been done."
                );
            }

            return request;
        }
    }
}
