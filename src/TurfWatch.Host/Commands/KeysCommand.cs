using System.CommandLine;
using NodaTime;
using TurfWatch.Host.Backups;
using TurfWatch.Mail;
using TurfWatch.Store;

namespace TurfWatch.Host.Commands;

/// <summary><c>turfwatch keys list|rotate|retire</c>: the keys that sign the links in mail.</summary>
internal static class KeysCommand
{
    public static Command Create(Terminal terminal) =>
        new(
            "keys",
            "The keys that sign the links in messages; a running service takes changes up by itself."
        )
        {
            List(terminal),
            Rotate(terminal),
            Retire(terminal),
        };

    private static Command List(Terminal terminal)
    {
        var asJson = JsonOutput.Option();
        var command = new Command(
            "list",
            "Lists the keys by their ids, never the keys themselves: which signs, and until when links lean on the others."
        )
        {
            asJson,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var keys = LinkKeyFile.List(Folder(parse, terminal));
                if (parse.GetValue(asJson))
                {
                    await JsonOutput.WriteAsync(
                        terminal,
                        keys.Select(k => new
                        {
                            k.Id,
                            Use = Words.Kebab(k.Use.ToString()),
                            MadeAt = k.MadeAt?.ToString(),
                            NeededUntil = k.NeededUntil?.ToString(),
                        })
                    );
                    return CommandShell.Ok;
                }

                foreach (var key in keys)
                {
                    await terminal.Out.WriteLineAsync(
                        $"{key.Id}  {Words.Kebab(key.Use.ToString()), -10}  made {key.MadeAt?.ToString() ?? "at an unknown time"}{Needed(key)}"
                    );
                }

                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static string Needed(LinkKey key) =>
        key switch
        {
            { Use: LinkKeyUse.Signs } => "; signs new links",
            { Use: LinkKeyUse.NamesOnly } =>
                "; its links are good no more, it keeps names and address marks the same",
            { NeededUntil: { } until } => $"; links that must still work need it until {until}",
            _ => "; when it last signed is not known",
        };

    private static Command Rotate(Terminal terminal)
    {
        var command = new Command(
            "rotate",
            """
            Makes a new key, which signs all new links from now on. Links in mail already sent stay good, since the old key
            stays in the file until it is retired. A running service takes the new key up by itself.

            Make a backup afterwards: an older one does not hold the new key.
            """
        );
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var folder = Folder(parse, terminal);
                var id = LinkKeyFile.Rotate(
                    folder,
                    Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow())
                );
                // Until the service may read it, it goes on with the keys it has.
                FileOwner.AsFolder(folder, Path.Combine(folder, LinkTokens.FileName));
                await terminal.Out.WriteLineAsync(
                    $"Key {id} signs new links from now on; old links stay good. Make a backup: older ones do not hold this key."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    private static Command Retire(Terminal terminal)
    {
        var id = new Option<string>("--id")
        {
            Description = "The key, as 'turfwatch keys list' names it.",
            HelpName = "ID",
            Required = true,
        };
        var anyway = new Option<bool>("--though-links-need-it")
        {
            Description =
                "Even while mail that is promised to work leans on it: for a key that somebody else has seen.",
        };
        var command = new Command(
            "retire",
            """
            Ends the links of an old key: links and answer addresses that it signed stop working, in all mail ever sent. Refused
            until 35 days after a newer key took over, for links to leave must work for 30 days after a message was sent.

            Example: turfwatch keys retire --id 1f0c2a9e
            """
        )
        {
            id,
            anyway,
        };
        command.Does(
            terminal,
            async (parse, cancel) =>
            {
                var folder = Folder(parse, terminal);
                var name = parse.GetValue(id)!.Trim();
                var key = LinkKeyFile
                    .List(folder)
                    .FirstOrDefault(k => string.Equals(k.Id, name, StringComparison.Ordinal));
                if (
                    Refusal(
                        key,
                        name,
                        Instant.FromDateTimeOffset(terminal.Clock.GetUtcNow()),
                        parse.GetValue(anyway)
                    ) is
                    { } refusal
                )
                {
                    throw new MisuseException(refusal);
                }

                LinkKeyFile.Retire(folder, name);
                FileOwner.AsFolder(folder, Path.Combine(folder, LinkTokens.FileName));
                await terminal.Out.WriteLineAsync(
                    $"The links of key {name} are good no more. Backups still hold it: delete them if somebody else has seen the key."
                );
                return CommandShell.Ok;
            }
        );
        return command;
    }

    /// <summary>Why the key may not be retired, or null.</summary>
    private static string? Refusal(LinkKey? key, string id, Instant now, bool anyway) =>
        key switch
        {
            null =>
                $"--id is '{id}', which is no key of the file; 'turfwatch keys list' shows them.",
            { Use: LinkKeyUse.Signs } =>
                $"--id is '{id}', the key that signs; run 'turfwatch keys rotate' first, then this one can be retired.",
            { Use: LinkKeyUse.NamesOnly } =>
                $"--id is '{id}', whose links were ended before; it stays in the file for names alone.",
            { NeededUntil: null } when !anyway =>
                $"--id is '{id}', and the file does not say when it last signed, so mail of the last days may lean on it. Add --though-links-need-it if you know better.",
            { NeededUntil: { } until } when until > now && !anyway =>
                $"--id is '{id}', on which links in mail lean until {until}: people could not leave by them. Wait until then; if somebody else has seen the key, add --though-links-need-it.",
            _ => null,
        };

    private static string Folder(ParseResult parse, Terminal terminal) =>
        parse.Settings(terminal, StoreOptions.Section).Get<StoreOptions>().DataDirectory;
}
